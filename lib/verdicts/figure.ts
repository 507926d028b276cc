import type { EpochMs, MonotonicMs } from '../../shared/brand.ts'
import type { Figure, FigureInput, FigureLimit, Verdict } from '../../shared/schemas/now.ts'
import { ASSUMED } from '../scale/default-uncertainty.ts'
import type { UncertaintyInput } from '../statistics/systematic.ts'
import type { Outcome, Quantity } from '../statistics/zone-snapshot.ts'
import type { FigureFormula } from './formulas.ts'
import { type Averaging, expand, judge } from './judge.ts'
import { verdictOf } from './sentence.ts'

/** What a figure is, beside its value. */
export interface FigureSpec {
  readonly unit: Figure['unit']
  readonly why: FigureFormula
  /** A limit and how averaging narrows the figure; null for a figure that is for information only. */
  readonly judged: { readonly limit: FigureLimit; readonly averaging: Omit<Averaging, 'seconds'> } | null
  /** Why the figure may be shown and yet not be judged. */
  readonly unjudged?: string | undefined
}

type ToEpoch = (t: MonotonicMs) => EpochMs

/** An outcome of the statistics as a figure with its verdict. Not told: every number null, and what it waits for. */
export function figureOf(outcome: Outcome, spec: FigureSpec, toEpoch: ToEpoch): Figure {
  if (outcome.kind === 'told') return toldFigure(outcome.quantity, spec, toEpoch)
  const [why, verdict] =
    outcome.kind === 'waiting'
      ? [outcome.for, verdictOf('unknown', { kind: 'waiting', for: outcome.for })]
      : [outcome.why, verdictOf('unknown', { kind: 'no-data' }, outcome.why)]
  return {
    value: null,
    unit: spec.unit,
    u: null,
    uRandom: null,
    U: null,
    k: null,
    dof: null,
    limit: spec.judged?.limit ?? null,
    verdict,
    window: null,
    timeMs: null,
    waiting: `${why.charAt(0).toUpperCase()}${why.slice(1)}.`,
    why: { ...spec.why, inputs: [] },
  }
}

function toldFigure(quantity: Quantity, spec: FigureSpec, toEpoch: ToEpoch): Figure {
  const { u, U, k, dof } = expand(quantity)
  return {
    value: quantity.value,
    unit: spec.unit,
    u,
    uRandom: quantity.uRandom,
    U,
    k,
    dof,
    ...assumedPart(quantity.systematic, u),
    limit: spec.judged?.limit ?? null,
    verdict: verdictOn(quantity, spec),
    window: quantity.window,
    timeMs: toEpoch(quantity.newestMs),
    waiting: null,
    why: { ...spec.why, inputs: [...quantity.inputs, ...quantity.systematic].map(inputOf) },
  }
}

function verdictOn(quantity: Quantity, { judged, unjudged }: FigureSpec): Verdict {
  if (judged === null) return verdictOf('not-done', { kind: 'no-limit' })
  if (unjudged !== undefined) return verdictOf('unknown', { kind: 'waiting', for: unjudged })
  const { target, half } = judged.limit
  const { state, reason } = judge(
    quantity,
    { kind: 'band', target, half },
    { ...judged.averaging, seconds: quantity.window.seconds },
  )
  return verdictOf(state, reason)
}

export function inputOf({ name, value, unit, u, source }: UncertaintyInput): FigureInput {
  return { name, value, unit, u, ...(source === undefined ? {} : { source }) }
}

/** An input that makes less than this of u² does not carry the uncertainty (common practice, no source). */
const SHARE_THAT_COUNTS = 0.1

/** Whether the largest systematic input of a figure was assumed, and counts beside all the rest. */
export function assumedPart(
  systematic: readonly { readonly contribution: number; readonly source?: string | undefined }[],
  u: number,
): Pick<Figure, 'assumed'> {
  const size = (input: { readonly contribution: number }) => Math.abs(input.contribution)
  const [largest] = systematic.toSorted((a, b) => size(b) - size(a))
  const counts = largest !== undefined && size(largest) ** 2 > SHARE_THAT_COUNTS * u ** 2
  return counts && largest.source === ASSUMED ? { assumed: true } : {}
}
