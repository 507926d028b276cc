import type { FigureLimit } from '../../shared/schemas/now.ts'
import type { Estimate } from '../uncertainty/estimate.ts'
import type { BudgetRow, Propagated } from '../uncertainty/propagate.ts'
import type { Correlation } from '../uncertainty/uncertain.ts'
import type { AgreementShares } from './agreement-rule.ts'
import { type Averaging, type Contribution, expand, type Judgement, judge, type Measured } from './judge.ts'

/** ± max(share of |expected|, share of span), N, about no difference. */
export function agreementLimit(expected: number, span: number, shares: AgreementShares): FigureLimit {
  const half = Math.max(shares.ofExpected * Math.abs(expected), shares.ofSpan * Math.abs(span))
  const [p, q] = [100 * shares.ofExpected, 100 * shares.ofSpan]
  return { target: 0, half, source: `the larger of ${p} % of expected and ${q} % of span; ${shares.source}` }
}

/**
 * What the geometry says a figure should be, in the form the rule of judgement takes: every input that has an effect.
 * Where the Monte Carlo took over, its value counts, and all effects are scaled so that twice their root sum of squares
 * is its U: the bend of the computation belongs to no one input.
 */
export function expectedMeasure(figure: Propagated | Estimate): Measured {
  if (!('method' in figure)) return measureOf(figure.value, figure.budget, 1)
  const { method, value, linear } = figure
  if (method === 'linear') return measureOf(linear.value, linear.budget, 1)
  if (linear.u > 0) return measureOf(value, linear.budget, figure.U / 2 / linear.u)
  const bent = { name: 'inputs that act by their squares alone', contribution: figure.U / 2 }
  return { value, uRandom: 0, dof: Number.POSITIVE_INFINITY, systematic: [bent] }
}

function measureOf(value: number, budget: readonly BudgetRow[], factor: number): Measured {
  const systematic = budget
    .filter(({ contribution }) => contribution !== 0)
    .map(({ name, contribution, dof }) => ({
      name,
      contribution: factor * contribution,
      ...(dof === undefined ? {} : { dof }),
    }))
  return { value, uRandom: 0, dof: Number.POSITIVE_INFINITY, systematic }
}

/** Measured against expected, both with their uncertainties. */
export interface Agreement {
  /** y − x, N, and as % of |expected|; NaN where nothing is expected. */
  readonly difference: number
  readonly percent: number
  /** (y − x)/√(U_y² + U_x²): for information, it never decides. */
  readonly en: number
  readonly limit: FigureLimit
  readonly judgement: Judgement
  /** The difference as it was judged. */
  readonly measure: Measured
}

/**
 * Holds a measured force against the expected one, by the one rule of judgement.
 *
 * An input of the same name on both sides (a tension, a known weight) is one input: its effects on y and x are
 * subtracted before they count, so that what both share cancels: such effects must carry their signs. Other
 * correlations are given by name.
 *
 * @param span indicated force from bare roller to the zone's largest tension, N
 * @param averaging how the measured mean narrows with time; null for a single reading
 */
export function agreementOf(
  measured: Measured,
  expected: Measured,
  span: number,
  shares: AgreementShares,
  correlations: readonly Correlation[],
  averaging: Averaging | null,
): Agreement {
  const difference = measured.value - expected.value
  const measure: Measured = {
    value: difference,
    uRandom: Math.hypot(measured.uRandom, expected.uRandom),
    dof: randomDof(measured, expected),
    systematic: differenceOf(measured.systematic, expected.systematic),
    correlations,
  }
  const limit = agreementLimit(expected.value, span, shares)
  return {
    difference,
    percent: expected.value === 0 ? Number.NaN : (100 * difference) / Math.abs(expected.value),
    en: difference / Math.hypot(expand(measured).U, expand(expected).U),
    limit,
    judgement: judge(measure, { kind: 'band', target: limit.target, half: limit.half }, averaging),
    measure,
  }
}

function differenceOf(y: readonly Contribution[], x: readonly Contribution[]): Contribution[] {
  const byName = new Map<string, Contribution>()
  const put = (part: Contribution, sign: 1 | -1): void => {
    const there = byName.get(part.name)
    byName.set(part.name, { ...there, ...part, contribution: (there?.contribution ?? 0) + sign * part.contribution })
  }
  for (const part of y) put(part, 1)
  for (const part of x) put(part, -1)
  return [...byName.values()]
}

/** Welch–Satterthwaite of the two random parts. */
function randomDof(y: Measured, x: Measured): number {
  const fourth = y.uRandom ** 4 / y.dof + x.uRandom ** 4 / x.dof
  return fourth > 0 ? (y.uRandom ** 2 + x.uRandom ** 2) ** 2 / fourth : Number.POSITIVE_INFINITY
}
