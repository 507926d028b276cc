/**
 * The quality of a sample and its reason, as they travel from the wire to the plot.
 *
 * A sample is `good`, `uncertain` (shown, marked, left out of statistics) or `bad`
 * (never a number anywhere). The code is one byte on the wire: its index in
 * `QUALITY_CODES`; new codes go to the end, so that an older reader stays right.
 */
export type Quality = 'good' | 'uncertain' | 'bad'

export const QUALITY_CODES = [
  'good',
  'saturated', // between the valid and the failure band of NE 43
  'out-of-range-uncertain', // outside the configured range but inside the converter's
  'no-answer', // the device did not answer, or not in time
  'device-error', // the device answered with an exception or a malformed frame
  'stale', // no new sample within the allowed age
  'wire-break', // at or under the lower failure level of NE 43
  'short-circuit', // at or above the upper failure level of NE 43
  'under-range', // under the configured range
  'over-range', // over the configured range
  'not-a-number', // the register holds NaN or an infinity
  'frozen', // identical raw values for longer than a live cell can give
  'missing', // no such sample: the other side of the frame arrived alone
  'starting', // nothing was read yet since the start or the last change of the config
  'over-capacity', // more force than the cell is rated for
] as const

export type QualityCode = (typeof QUALITY_CODES)[number]

const UNCERTAIN: ReadonlySet<QualityCode> = new Set(['saturated', 'out-of-range-uncertain', 'over-capacity'])

/** The quality a code stands for. */
export function qualityOf(code: QualityCode): Quality {
  if (code === 'good') return 'good'
  return UNCERTAIN.has(code) ? 'uncertain' : 'bad'
}

/** The byte that stands for a code on the stream. */
export function qualityByte(code: QualityCode): number {
  return QUALITY_CODES.indexOf(code)
}

/** The code a byte stands for; an unknown byte (a newer gateway) reads as `missing`, hence bad. */
export function qualityFromByte(byte: number): QualityCode {
  return QUALITY_CODES[byte] ?? 'missing'
}
