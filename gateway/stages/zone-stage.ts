import { type MeasuredMinute, MinuteTrack } from '../../lib/drift/minute-track.ts'
import type { ZoneSnapshot } from '../../lib/statistics/zone-snapshot.ts'
import { ZoneStatistics } from '../../lib/statistics/zone-statistics.ts'
import { statisticsOptions } from '../../lib/statistics/zone-statistics-options.ts'
import { composeZoneNow } from '../../lib/verdicts/zone-now.ts'
import { Expectation, type ExpectedPicture } from '../../lib/zone/expectation.ts'
import { FrameAssembler, type FrameAssemblerOptions } from '../../lib/zone/frame-assembler.ts'
import { staleAfterMs } from '../../lib/zone/stale.ts'
import type { MonotonicMs } from '../../shared/brand.ts'
import { AUX_ROLES, type AuxRole, type Sample, type Side, type ZoneFrame } from '../../shared/sample.ts'
import type { ChannelConfig, Config, ZoneConfig } from '../../shared/schemas/config.ts'
import type { ZoneNow } from '../../shared/schemas/now.ts'
import type { Clock } from '../clock.ts'
import { rolesOf, type ZoneRole } from '../zone-roles.ts'

export { rolesOf, type ZoneRole }

/** Polls per second of the device a channel is on. */
export function rateOf(config: Config, channelId: string): number {
  const channel = config.channels.find((c) => c.id === channelId)
  return config.devices.find((d) => d.id === channel?.device)?.rate_hz ?? 1
}

/** All that a zone's figures depend on: while it stays the same, so do its averages. */
export interface ZoneInputs {
  readonly zone: ZoneConfig
  readonly channels: ReadonlyMap<string, ChannelConfig>
  /** Polls per second of each channel's device. */
  readonly rateHz: ReadonlyMap<string, number>
}

export function zoneInputs(config: Config, zone: ZoneConfig): ZoneInputs {
  const ids = new Set(rolesOf(zone).map(([, id]) => id))
  return {
    zone,
    channels: new Map(config.channels.filter((c) => ids.has(c.id)).map((c) => [c.id, c])),
    rateHz: new Map([...ids].map((id) => [id, rateOf(config, id)])),
  }
}

/** One zone's part of the journey: samples → frame → statistics → verdicts. */
export class ZoneStage {
  readonly inputs: ZoneInputs
  readonly #assembler: FrameAssembler
  readonly #statistics: ZoneStatistics
  /** Undefined for a zone without geometry. */
  readonly #expectation: Expectation | undefined
  readonly #minutes: MinuteTrack

  constructor(inputs: ZoneInputs) {
    this.inputs = inputs
    this.#assembler = new FrameAssembler(assemblerOptions(inputs))
    const options = statisticsOptions(inputs.zone, inputs.channels, (id) => inputs.rateHz.get(id) ?? 1)
    this.#statistics = new ZoneStatistics(options)
    this.#expectation = Expectation.of(inputs.zone, inputs.channels)
    this.#minutes = new MinuteTrack(options, this.#statistics)
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

  /** Takes a frame into the figures; returns the minutes that it ends. */
  measure(frame: ZoneFrame, toEpoch: Clock['toEpoch']): readonly MeasuredMinute[] {
    const expectation = this.#expectation?.at(frame.aux)
    this.#statistics.add(frame, expectation)
    return this.#minutes.add(toEpoch(frame.tMs), frame, expectation, this.#expectation?.tensionAtNewest())
  }

  /** Minutes that have ended by now, also when nothing came. */
  endMinutes(clock: Clock): readonly MeasuredMinute[] {
    return this.#minutes.expire(clock.toEpoch(clock.now()))
  }

  now(clock: Clock): ZoneNow {
    const now = clock.now()
    if (this.#expectation !== undefined)
      this.#statistics.rescale(this.#expectation.scale(this.#statistics.followed(now)))
    const snapshot = this.#statistics.snapshot(now)
    return composeZoneNow({
      zone: this.inputs.zone,
      channels: this.inputs.channels,
      snapshot,
      expected: this.#pictureOf(snapshot),
      now,
      toEpoch: clock.toEpoch,
    })
  }

  /** Undefined while nothing can be expected; the snapshot says why. */
  #pictureOf({ residual }: ZoneSnapshot): ExpectedPicture | undefined {
    const state = residual?.state ?? null
    const picture = state === null ? undefined : this.#expectation?.picture(state)
    return typeof picture === 'string' ? undefined : picture
  }
}

function isAux(role: ZoneRole): role is AuxRole {
  return (AUX_ROLES as readonly ZoneRole[]).includes(role)
}

/** How the sides of a zone are joined into frames. */
export function assemblerOptions({ zone, channels, rateHz }: ZoneInputs): FrameAssemblerOptions {
  const rate = (id: string) => rateHz.get(id) ?? 1
  const periodMs = 1000 / Math.min(...Object.values(zone.cells).map(rate))
  const auxMaxAge = rolesOf(zone).flatMap(([role, id]) => {
    const channel = channels.get(id)
    return isAux(role) && channel !== undefined ? [[role, staleAfterMs(channel, rate(id))] as const] : []
  })
  return {
    sides: Object.keys(zone.cells) as Side[],
    maxSkewMs: periodMs / 2,
    maxWaitMs: periodMs,
    auxMaxAgeMs: Object.fromEntries(auxMaxAge),
  }
}
