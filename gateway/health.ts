import { QUANTITY_OF } from '../lib/scale/value.ts'
import { staleAfterMs } from '../lib/zone/stale.ts'
import type { Config } from '../shared/schemas/config.ts'
import type { ChannelHealth, DeviceHealth, Health } from '../shared/schemas/health.ts'
import { channelPlace, channelRegister } from './channel-place.ts'
import type { Clock } from './clock.ts'
import type { ChannelStage } from './stages/channel-stage.ts'
import { rateOf } from './stages/zone-stage.ts'

/** A channel as the Set-up page shows it: numbers only while the newest sample is live. */
function channelHealthOf(stage: ChannelStage, rateHz: number, clock: Clock): ChannelHealth {
  const { config, last, counts } = stage
  const stale = last !== null && clock.now() - last.tMs > staleAfterMs(config, rateHz)
  const sample = stale ? null : last
  return {
    id: config.id,
    name: config.name ?? config.id,
    device: config.device,
    measures: config.measures,
    where: channelPlace(config),
    register: channelRegister(config),
    code: last === null ? 'starting' : stale ? 'stale' : last.code,
    raw: sample?.raw ?? null,
    electrical: sample?.electrical ?? null,
    electricalUnit: config.electrical?.unit ?? null,
    value: sample?.value ?? null,
    unit: QUANTITY_OF[config.measures].si,
    timeMs: last === null ? null : clock.toEpoch(last.tMs),
    ...counts,
  }
}

export function channelsHealthOf(config: Config, stages: Iterable<ChannelStage>, clock: Clock): ChannelHealth[] {
  return [...stages].map((stage) => channelHealthOf(stage, rateOf(config, stage.config.id), clock))
}

/**
 * One word for the whole gateway: lost when no device answers, also while none is heard of at all; degraded when one
 * does not, or anything else is troubled (an edit was refused, a webhook fails, the recorder has stopped). A config has
 * at least one device.
 */
export function overallStatus(devices: readonly DeviceHealth[], isTroubled: boolean): Health['status'] {
  const lost = devices.filter((d) => d.state === 'lost' || d.state === 'starting').length
  if (lost === devices.length) return 'lost'
  return isTroubled || devices.some((d) => d.state !== 'answering' && d.state !== 'ended') ? 'degraded' : 'ok'
}
