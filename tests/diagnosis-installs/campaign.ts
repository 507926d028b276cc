import type { FaultId } from '../../shared/faults.ts'
import type { CauseId } from '../../shared/schemas/diagnosis.ts'
import { SimulatedInstall } from './simulated-install.ts'
import type { Variation } from './variation.ts'
import { verify } from './verify.ts'

export interface Outcome {
  readonly cause: FaultId | null
  /** Likeliest and second after the tests; a cause on the wrong side is not the right one. */
  readonly first: CauseId
  readonly isFirst: boolean
  readonly isSecond: boolean
  /** From running data alone: the true cause is among the first group; what that group is led by. */
  readonly passiveFirst: CauseId
  readonly isInFirstGroup: boolean
  /** Share claimed of a member of the first group beyond its prior's share of the group: never above 0 but for rounding. */
  readonly overclaimed: number
}

/** One install from first look to last test. */
export function outcomeOf({ cause, side, options }: Variation): Outcome {
  const { passive, final } = verify(new SimulatedInstall(options))
  const isTrue = ({ id, side: at }: { readonly id: CauseId; readonly side: string | null }): boolean =>
    id === (cause ?? 'healthy') && (side === null || at === side)
  const [first, second] = final.ranked
  if (first === undefined) throw new Error('nothing was ranked')
  const { members, probability } = passive.leader
  const priors = members.reduce((sum, { hypothesis }) => sum + hypothesis.prior, 0)
  return {
    cause,
    first: first.hypothesis.id,
    isFirst: isTrue(first.hypothesis),
    isSecond: second !== undefined && isTrue(second.hypothesis),
    passiveFirst: members[0]?.hypothesis.id ?? 'unknown',
    isInFirstGroup: members.some(({ hypothesis }) => isTrue(hypothesis)),
    overclaimed:
      members.length < 2
        ? 0
        : Math.max(...members.map((one) => one.probability - (probability * one.hypothesis.prior) / (priors || 1))),
  }
}
