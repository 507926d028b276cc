import type { Side } from '../../shared/sample.ts'
import type { CauseId, DiagnosisContext, FeatureId } from '../../shared/schemas/diagnosis.ts'
import { featuresToAsk } from './askable.ts'
import type { Measurable } from './distance.ts'
import { PASSIVE_FEATURES } from './features.ts'
import { nearest, TOLD_APART } from './groups.ts'
import { type Hypothesis, hypothesesOf, type Node } from './hypotheses.ts'

/** Two causes that a set of features cannot tell apart at a typical size. */
export interface Confusable {
  readonly cause: CauseId
  readonly side: Side | null
  /** Which look the same; `healthy` among them: this cause does not show at all. */
  readonly with: readonly { readonly cause: CauseId; readonly side: Side | null }[]
}

/**
 * What a set of features (running data alone, unless told) cannot tell apart, out of the predictions: for each cause at
 * the middle of its sizes, the others that at some size predict the same within 3 to 1.
 */
export function confusableIn(
  context: DiagnosisContext,
  features: readonly FeatureId[] = PASSIVE_FEATURES,
): readonly Confusable[] {
  const measurables = featuresToAsk(context.sides).filter(({ id }) => features.includes(id))
  const hypotheses = hypothesesOf(context).filter(({ id }) => id !== 'unknown')
  return hypotheses
    .filter(({ cause }) => cause !== null)
    .map((one) => ({
      cause: one.id,
      side: one.side,
      with: hypotheses
        .filter((other) => other !== one && looksLike(one, other, measurables))
        .map(({ id, side }) => ({ cause: id, side })),
    }))
}

const looksLike = (one: Hypothesis, other: Hypothesis, measurables: readonly Measurable[]): boolean =>
  typicalOf(one).every(({ effects }) => nearest(effects, other, measurables) < TOLD_APART)

/** The middle sizes: of a grid that goes either way, one each way. */
function typicalOf({ nodes, grid: { points } }: Hypothesis): readonly Node[] {
  const either = points.some(({ value }) => value < 0) && points.some(({ value }) => value > 0)
  const sizes = (either ? [0.25, 0.75] : [0.5]).map((share) => points[Math.floor(share * (points.length - 1))]?.value)
  return nodes.filter(({ severity }) => sizes.includes(severity))
}
