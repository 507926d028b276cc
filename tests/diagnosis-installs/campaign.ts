import { TEST_COSTS } from '../../lib/diagnosis/test-costs.ts'
import type { FaultId } from '../../shared/faults.ts'
import type { CauseId } from '../../shared/schemas/diagnosis.ts'
import type { TestId } from '../../shared/schemas/verification/test-ids.ts'
import type { LineId } from './lines.ts'
import { SimulatedInstall } from './simulated-install.ts'
import type { Variation } from './variation.ts'
import { verify } from './verify.ts'

export interface Outcome {
  readonly cause: FaultId | null
  readonly n: number
  readonly line: LineId
  /** Size over the threshold that is printed for this line; 1 for what is there or not. */
  readonly times: number
  /** Likeliest and second after the tests; a cause on the wrong side is not the right one. */
  readonly first: CauseId
  readonly second: CauseId
  readonly isFirst: boolean
  readonly isSecond: boolean
  /** Minutes of the tests that were made, running data included; of those until none about the cause was left. */
  readonly minutes: number
  readonly minutesToCause: number
  /** Two causes were told at once, where there is one at most. */
  readonly isTwoTold: boolean
  /** From running data alone: the true cause is among the first group; what that group is led by. */
  readonly passiveFirst: CauseId
  readonly isInFirstGroup: boolean
  /** Share claimed of a member of the first group beyond its prior's share of the group: never above 0 but for rounding. */
  readonly overclaimed: number
  /** The likeliest five, running and in the end, in words: for who looks at one that went wrong. */
  readonly words: string
}

/** One install from first look to last test. */
export function outcomeOf({ cause, n, line, side, times, options, severity, watchedS }: Variation): Outcome {
  const { passive, alone, final, made } = verify(new SimulatedInstall(options), undefined, watchedS)
  const isTrue = ({ id, side: at }: { readonly id: CauseId; readonly side: string | null }): boolean =>
    id === (cause ?? 'healthy') && (side === null || at === side)
  const [first, second] = final.ranked
  if (first === undefined || second === undefined) throw new Error('nothing was ranked')
  const { members, probability } = passive.leader
  const priors = members.reduce((sum, { hypothesis }) => sum + hypothesis.prior, 0)
  const told = (ones: typeof final.ranked): string =>
    ones
      .slice(0, 5)
      .map(
        ({ hypothesis, probability: p }) =>
          `${hypothesis.id}${hypothesis.side === null ? '' : hypothesis.side === 'drive_side' ? ' DS' : ' OS'} ${p.toFixed(2)}`,
      )
      .join(', ')
  return {
    cause,
    n,
    line,
    times,
    first: first.hypothesis.id,
    second: second.hypothesis.id,
    isFirst: isTrue(first.hypothesis),
    isSecond: isTrue(second.hypothesis),
    minutes: minutesOf(made),
    minutesToCause: minutesOf(made.slice(0, alone.tests)),
    isTwoTold: final.combination !== null,
    passiveFirst: members[0]?.hypothesis.id ?? 'unknown',
    isInFirstGroup: members.some(({ hypothesis }) => isTrue(hypothesis)),
    overclaimed:
      members.length < 2
        ? 0
        : Math.max(...members.map((one) => one.probability - (probability * one.hypothesis.prior) / (priors || 1))),
    words: `${cause ?? 'healthy'} ${side ?? ''} ${severity.toPrecision(3)} on ${line}, install ${n}: running {${told(members)}} then {${told(passive.ranked)}}; after ${made.length} tests {${told(final.ranked)}}`,
  }
}

const minutesOf = (tests: readonly TestId[]): number =>
  tests.reduce((sum, test) => sum + (TEST_COSTS[test]?.minutes ?? 0), 0)
