import type { GapReason } from './reading.ts'

/** Each reason in words, to stand after "no value: " or "uncertain: ". */
const WORDS: Record<GapReason, string> = {
  good: 'good',
  saturated: 'at the edge of the signal range',
  'out-of-range-uncertain': 'outside the range set for it',
  'no-answer': 'the device did not answer',
  'device-error': 'the device answered with an error',
  stale: 'no new sample in time',
  'wire-break': 'signal below the failure level, as from a broken wire',
  'short-circuit': 'signal above the failure level, as from a short circuit',
  'under-range': 'below the range set for it',
  'over-range': 'above the range set for it, or over 150 % of the cell’s capacity',
  'not-a-number': 'the register holds no number',
  frozen: 'the reading has not moved at all',
  missing: 'the others came without it',
  starting: 'not read yet',
  'over-capacity': 'more force than the cell is rated for',
  'no-samples': 'no samples arrived',
}

export function reasonInWords(reason: GapReason): string {
  return WORDS[reason]
}
