import type { Verdict, VerdictReason, VerdictState } from '../../shared/schemas/now.ts'
import { shortDuration } from '../statistics/words.ts'

/**
 * The English sentence of a verdict; a page may write its own, in any language and unit, from state and reason.
 * `whyNoData` says why there is no good data, where that is known.
 */
export function verdictSentence(
  state: VerdictState,
  reason: VerdictReason,
  whyNoData = 'there is no good data',
): string {
  switch (reason.kind) {
    case 'inside':
      return 'Inside its limit, uncertainty included.'
    case 'outside':
      return 'Outside its limit, uncertainty included.'
    case 'needs-time':
      return `Undecided: needs about ${shortDuration(reason.seconds)} more.`
    case 'no-time-will-settle':
      return `Undecided: no measuring time will settle this; in the way: ${reason.input}.`
    case 'no-data':
      return `Unknown: ${whyNoData}.`
    case 'waiting':
      return `${state === 'unknown' ? 'Unknown' : 'Not done'}: ${reason.for.replace(/\.$/, '')}.`
    case 'no-limit':
      return 'For information: no limit is set on this figure.'
  }
}

/** State, reason and sentence in one. */
export function verdictOf(state: VerdictState, reason: VerdictReason, whyNoData?: string): Verdict {
  return { state, reason, sentence: verdictSentence(state, reason, whyNoData) }
}
