import type { QualityCode } from '../../shared/quality.ts'

/** Why a sample does not count, as a clause after a colon. */
const WORDS: Readonly<Record<QualityCode, string>> = {
  good: 'the newest sample is good again',
  saturated: 'the signal is at the end of its range',
  'out-of-range-uncertain': 'the value is outside the range expected of it',
  'no-answer': 'the device does not answer',
  'device-error': 'the device answers with an error',
  stale: 'nothing new came',
  'wire-break': 'the signal is as low as with a broken wire',
  'short-circuit': 'the signal is as high as with a short circuit',
  'under-range': 'the value is below its range',
  'over-range': 'the value is above its range, or the force far over the capacity of the cell',
  'not-a-number': 'the register holds no number',
  frozen: 'the value stands still',
  missing: 'its sample did not come',
  starting: 'nothing was read yet',
  'over-capacity': 'the force is over the rated capacity of the cell',
}

export const qualityClause = (code: QualityCode): string => WORDS[code]
