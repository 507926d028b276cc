import { type QualityCode, qualityFromByte, qualityOf } from '../../../shared/quality.ts'
import type { ZoneRing } from '../../_stream/ring.ts'

/** One end of the beam at this moment, in the unit of the stream. */
export type EndReading =
  | {
      readonly state: 'good' | 'uncertain'
      readonly value: number
      /** Lowest and highest good sample of the last moments: the shiver. */
      readonly low: number
      readonly high: number
      readonly code: QualityCode
    }
  | { readonly state: 'unknown'; readonly code: QualityCode | 'no-samples' }

/** The shiver drawn at an end is the range of this long. */
export const SHIVER_MS = 2000
/** An end without any sample for this long is unknown, whatever its last sample was. */
const END_STALE_MS = 1500

/**
 * The newest sample of a side and the range of the last two seconds. A row in which only the other
 * side came (`missing`) says nothing about this one and is passed over; any other bad row makes the
 * end unknown. `scale` divides the streamed force (a force factor, or 1).
 */
export function endReading(ring: ZoneRing, column: number, nowMs: number, scale: number): EndReading {
  const values = ring.values(column)
  const maxima = ring.maxima(column)
  const qualities = ring.qualities(column)
  const newest = newestRow(qualities)
  if (newest < 0 || nowMs - ring.timeAt(newest) > END_STALE_MS) return { state: 'unknown', code: 'no-samples' }
  const code = qualityFromByte(qualities[newest] ?? 255)
  const quality = qualityOf(code)
  // An envelope row has no single value: its middle stands for it, its range for the shiver.
  const value = ((values[newest] ?? Number.NaN) + (maxima[newest] ?? Number.NaN)) / 2 / scale
  if (quality === 'bad' || !Number.isFinite(value)) return { state: 'unknown', code }
  let low = value
  let high = value
  for (let i = ring.indexAtOrAfter(nowMs - SHIVER_MS); i <= newest; i++) {
    const a = (values[i] ?? Number.NaN) / scale
    const b = (maxima[i] ?? Number.NaN) / scale
    if (Number.isNaN(a) || Number.isNaN(b)) continue
    low = Math.min(low, a, b)
    high = Math.max(high, a, b)
  }
  return { state: quality, value, low, high, code }
}

function newestRow(qualities: Uint8Array): number {
  for (let i = qualities.length - 1; i >= 0; i--) if (qualityFromByte(qualities[i] ?? 255) !== 'missing') return i
  return -1
}
