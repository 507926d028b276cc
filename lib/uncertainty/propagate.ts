import { effectiveDof } from '../statistics/effective-dof.ts'
import { correlationMatrix } from './correlation.ts'
import { type Expansion, expandedUncertainty } from './coverage-factor.ts'
import { derivatives } from './derivative.ts'
import type { Correlation, Input } from './uncertain.ts'

/** A computation: inputs in their order to outputs in theirs. NaN where it is undefined. */
export type Model = (x: readonly number[]) => readonly number[]

/** One input's part in the uncertainty of an output. */
export interface BudgetRow extends Input {
  /** c = ∂output/∂input at the estimates. */
  readonly sensitivity: number
  /** c·u, in the output's unit, signed. */
  readonly contribution: number
  /** Part of u² that is this input's, covariances included; all rows add to 1. 0 where u is 0. */
  readonly share: number
}

/** An output with its combined and expanded uncertainty and where it comes from. */
export interface Propagated extends Expansion {
  readonly value: number
  readonly u: number
  readonly budget: readonly BudgetRow[]
}

/**
 * The law of propagation of uncertainty: u² = Σᵢⱼ cᵢ cⱼ uᵢ uⱼ rᵢⱼ with cᵢ by central differences (JCGM 100, 5.1.2,
 * 5.1.3 note 2, 5.2.2), ν_eff by Welch–Satterthwaite (G.4.1), U = t₉₅(ν_eff)·u and at least 2·u.
 *
 * That formula supposes independent inputs: correlated ones are counted as one part with the fewest degrees of
 * freedom among them, which errs to the side of a wider U. An output that is undefined at or near the estimates has
 * value or u NaN. Throws RangeError as `correlationMatrix` does.
 */
export function propagate(
  model: Model,
  inputs: readonly Input[],
  correlations: readonly Correlation[] = [],
): Propagated[] {
  const links = correlationMatrix(inputs, correlations).map((row) =>
    row.flatMap((r, j): Link[] => (r === 0 ? [] : [{ j, r }])),
  )
  const x = inputs.map(({ value }) => value)
  const sensitivities = inputs.map((input, i) => derivatives((at) => model(x.with(i, at)), input.value, stepOf(input)))
  return model(x).map((value, output) => {
    const c = sensitivities.map((row) => row[output] ?? Number.NaN)
    return combine(value, inputs, c, links)
  })
}

/** The same for a computation of one output. */
export function propagateOne(
  model: (x: readonly number[]) => number,
  inputs: readonly Input[],
  correlations: readonly Correlation[] = [],
): Propagated {
  const [only] = propagate((x) => [model(x)], inputs, correlations)
  if (only === undefined) throw new RangeError('the computation has no output')
  return only
}

/** What an input goes with, itself included: most go with nothing else. */
interface Link {
  readonly j: number
  readonly r: number
}
type Links = readonly (readonly Link[])[]

function combine(value: number, inputs: readonly Input[], c: readonly number[], links: Links): Propagated {
  // An input without uncertainty adds nothing, even where its sensitivity is undefined.
  const parts = inputs.map(({ u }, i) => (u === 0 ? 0 : (c[i] ?? Number.NaN) * u))
  const products = parts.map((part, i) =>
    part === 0 ? 0 : part * (links[i] ?? []).reduce((sum, { j, r }) => sum + r * (parts[j] ?? 0), 0),
  )
  const variance = Math.max(
    0,
    products.reduce((sum, product) => sum + product, 0),
  )
  const u = Math.sqrt(variance)
  return {
    value,
    u,
    ...expandedUncertainty(u, degreesOfFreedom(inputs, parts, products, links)),
    budget: inputs.map((input, i) =>
      budgetRow(input, c[i] ?? Number.NaN, parts[i] ?? 0, variance > 0 ? (products[i] ?? 0) / variance : 0),
    ),
  }
}

/** Field by field: a spread of inputs of many shapes costs ten times as much, and would take along what is no input. */
function budgetRow(input: Input, sensitivity: number, contribution: number, share: number): BudgetRow {
  const { name, unit, value, u, dof, shape, source } = input
  const row: { -readonly [K in keyof BudgetRow]: BudgetRow[K] } = {
    name,
    unit,
    value,
    u,
    sensitivity,
    contribution,
    share,
  }
  if (dof !== undefined) row.dof = dof
  if (shape !== undefined) row.shape = shape
  if (source !== undefined) row.source = source
  return row
}

function degreesOfFreedom(
  inputs: readonly Input[],
  parts: readonly number[],
  products: readonly number[],
  links: Links,
): number {
  const dofOf = (i: number): number => inputs[i]?.dof ?? Number.POSITIVE_INFINITY
  const independent: { u: number; dof: number }[] = []
  let bound = 0
  let boundDof = Number.POSITIVE_INFINITY
  inputs.forEach((_, i) => {
    const correlated = (links[i]?.length ?? 0) > 1
    if (correlated) {
      bound += products[i] ?? 0
      boundDof = Math.min(boundDof, dofOf(i))
    } else independent.push({ u: Math.abs(parts[i] ?? 0), dof: dofOf(i) })
  })
  return effectiveDof([...independent, { u: Math.sqrt(Math.max(0, bound)), dof: boundDof }])
}

/**
 * Step of the differences: a twentieth of u, so that c is the slope at the estimate (what bends within ± 2 u is the
 * Monte Carlo's to show), but never so small that rounding tells.
 */
function stepOf({ value, u }: Input): number {
  const size = Math.max(Math.abs(value), 1e-3)
  return u > 0 ? Math.max(u / 20, 1e-7 * size) : 1e-5 * size
}
