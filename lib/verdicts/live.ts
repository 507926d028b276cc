import type { EpochMs, MonotonicMs } from '../../shared/brand.ts'
import { qualityOf } from '../../shared/quality.ts'
import type { ChannelConfig } from '../../shared/schemas/config.ts'
import type { Live } from '../../shared/schemas/now.ts'
import { ASSUMED } from '../scale/default-uncertainty.ts'
import { QUANTITY_OF } from '../scale/value.ts'
import { valueUncertainty } from '../scale/value-uncertainty.ts'
import type { LiveSample } from '../statistics/zone-snapshot.ts'

/** Coverage factor for about 95 % of what is taken as normal (JCGM 100:2008, 6.3.3). */
const K = 2

/**
 * The newest sample of a channel with its code and time. A bad sample has no value; a stale one has no number at
 * all, only the time it came. Before the first sample the code is `starting`.
 */
export function liveOf(
  channel: ChannelConfig,
  { sample, stale }: LiveSample,
  toEpoch: (t: MonotonicMs) => EpochMs,
): Live {
  const place = {
    channel: channel.id,
    unit: QUANTITY_OF[channel.measures].si,
    electricalUnit: channel.electrical?.unit ?? null,
  }
  if (sample === null)
    return { ...place, value: null, electrical: null, raw: null, code: 'starting', timeMs: null, halfWidthMs: null }
  const when = { timeMs: toEpoch(sample.tMs), halfWidthMs: sample.halfWidthMs }
  if (stale) return { ...place, ...when, value: null, electrical: null, raw: null, code: 'stale' }
  const bad = qualityOf(sample.code) === 'bad'
  const uncertainty = bad || sample.value === null ? {} : uncertaintyPart(channel, sample.value)
  return {
    ...place,
    ...when,
    value: bad ? null : sample.value,
    ...uncertainty,
    electrical: bad ? null : sample.electrical,
    raw: sample.raw,
    code: sample.code,
  }
}

/** What the scale of a channel that is not a cell leaves open; 0 tells nothing. */
function uncertaintyPart(channel: ChannelConfig, value: number): Pick<Live, 'U' | 'assumed'> {
  if (channel.scale === undefined) return {}
  const { u, source } = valueUncertainty(channel, value)
  return u === 0 ? {} : { U: K * u, ...(source === ASSUMED ? { assumed: true } : {}) }
}
