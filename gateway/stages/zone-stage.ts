import { ZoneStatistics } from '../../lib/statistics/zone-statistics.ts'
import { statisticsOptions } from '../../lib/statistics/zone-statistics-options.ts'
import { composeZoneNow } from '../../lib/verdicts/zone-now.ts'
import { FrameAssembler } from '../../lib/zone/frame-assembler.ts'
import { staleAfterMs } from '../../lib/zone/stale.ts'
import type { MonotonicMs } from '../../shared/brand.ts'
import type { AuxRole, Sample, Side, ZoneFrame } from '../../shared/sample.ts'
import type { ChannelConfig, Config, ZoneConfig } from '../../shared/schemas/config.ts'
import type { ZoneNow } from '../../shared/schemas/now.ts'
import type { Clock } from '../clock.ts'

export type ZoneRole = Side | AuxRole

const AUX_ROLES: readonly AuxRole[] = ['speed', 'roller_speed', 'reference', 'temperature']

/** Which channel plays which role in a zone; sides first. */
export function rolesOf(zone: ZoneConfig): readonly (readonly [ZoneRole, string])[] {
  const sides = Object.entries(zone.cells) as [Side, string][]
  const aux = AUX_ROLES.flatMap((role) => {
    const channel = zone[role]
    return channel === undefined ? [] : [[role, channel] as const]
  })
  return [...sides, ...aux]
}

/** Polls per second of the device a channel is on. */
export function rateOf(config: Config, channelId: string): number {
  const channel = config.channels.find((c) => c.id === channelId)
  return config.devices.find((d) => d.id === channel?.device)?.rate_hz ?? 1
}

/** One zone's part of the journey: samples → frame → statistics → verdicts. */
export class ZoneStage {
  readonly zone: ZoneConfig
  readonly #channels: ReadonlyMap<string, ChannelConfig>
  readonly #assembler: FrameAssembler
  readonly #statistics: ZoneStatistics

  constructor(config: Config, zone: ZoneConfig, channels: ReadonlyMap<string, ChannelConfig>) {
    this.zone = zone
    this.#channels = channels
    this.#assembler = new FrameAssembler(assemblerOptions(config, zone, channels))
    this.#statistics = new ZoneStatistics(statisticsOptions(zone, channels, (id) => rateOf(config, id)))
  }

  /** A sample of one of the zone's channels; returns the frames it completes. */
  push(role: ZoneRole, sample: Sample): readonly ZoneFrame[] {
    if (isAux(role)) {
      this.#assembler.setAux(role, sample)
      return []
    }
    return this.#assembler.push(role, sample)
  }

  /** Frames of sides that waited too long for their partner. */
  expire(now: MonotonicMs): readonly ZoneFrame[] {
    return this.#assembler.expire(now)
  }

  measure(frame: ZoneFrame): void {
    this.#statistics.add(frame)
  }

  now(clock: Clock): ZoneNow {
    const now = clock.now()
    return composeZoneNow({
      zone: this.zone,
      channels: this.#channels,
      snapshot: this.#statistics.snapshot(now),
      now,
      toEpoch: clock.toEpoch,
    })
  }
}

function isAux(role: ZoneRole): role is AuxRole {
  return (AUX_ROLES as readonly ZoneRole[]).includes(role)
}

function assemblerOptions(config: Config, zone: ZoneConfig, channels: ReadonlyMap<string, ChannelConfig>) {
  const sides = Object.keys(zone.cells) as Side[]
  const slowest = Math.min(...Object.values(zone.cells).map((id) => rateOf(config, id)))
  const periodMs = 1000 / slowest
  const aux = rolesOf(zone).filter(([role]) => isAux(role))
  return {
    sides,
    maxSkewMs: periodMs / 2,
    maxWaitMs: periodMs,
    auxMaxAgeMs: Object.fromEntries(
      aux.flatMap(([role, id]) => {
        const channel = channels.get(id)
        return channel === undefined ? [] : [[role, staleAfterMs(channel, rateOf(config, id))]]
      }),
    ),
  }
}
