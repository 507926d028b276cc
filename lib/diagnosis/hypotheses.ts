import { FAULT_IDS, type FaultId, ONE_SIDED_FAULTS } from '../../shared/faults.ts'
import type { Side } from '../../shared/sample.ts'
import type { CauseId, DiagnosisContext } from '../../shared/schemas/diagnosis.ts'
import { add, type Cause, type Effect, type Seat, type SeverityGrid } from './cause.ts'
import { type Effects, effectsOf, expectationOf, type FeatureKey, featureOf } from './expectation.ts'
import { FEATURES } from './features.ts'
import { CAUSES } from './registry.ts'
import { present } from './severity-grid.ts'

/** Of a machine that somebody asks about: how often nothing is wrong, and how often none of the causes here is it. */
const HEALTHY_PRIOR = 0.6
const UNKNOWN_PRIOR = 0.01

/** A cause of a size, and what it does. */
export interface Node {
  readonly severity: number
  readonly weight: number
  readonly effects: Effects
}

/** A cause at a place. `cause` is null for `healthy` and `unknown`, which have one node without effects. */
export interface Hypothesis {
  readonly id: CauseId
  readonly side: Side | null
  readonly cause: Cause | null
  readonly prior: number
  readonly grid: SeverityGrid
  readonly nodes: readonly Node[]
  /** What it does at its sizes and three between each two, not widened: for comparing predictions. */
  fine(): readonly Effects[]
}

/** Answers kept: pages ask for the same few zones again and again. */
const KEPT = 8
const kept = new Map<string, readonly Hypothesis[]>()

/** Everything that may be so in a zone, priors summing to 1; a cause of one end is weighed at each end. */
export function hypothesesOf(context: DiagnosisContext): readonly Hypothesis[] {
  const asked = JSON.stringify(context)
  const known = kept.get(asked)
  if (known !== undefined) return known
  const [oldest] = kept.keys()
  if (kept.size >= KEPT && oldest !== undefined) kept.delete(oldest)
  const made = allIn(context)
  kept.set(asked, made)
  return made
}

function allIn(context: DiagnosisContext): readonly Hypothesis[] {
  const pair = context.sides.length === 2
  const causes = FAULT_IDS.filter((id) => pair || CAUSES[id].pairOnly !== true).flatMap((id) => seated(id, context))
  const all = [nothing('healthy', HEALTHY_PRIOR), nothing('unknown', UNKNOWN_PRIOR), ...causes]
  const total = all.reduce((sum, { prior }) => sum + prior, 0)
  return all.map((one) => ({ ...one, prior: one.prior / total }))
}

function seated(id: FaultId, context: DiagnosisContext): readonly Hypothesis[] {
  const cause = CAUSES[id]
  const places: readonly (Side | null)[] = ONE_SIDED_FAULTS.has(id) ? context.sides : [null]
  const grid = typeof cause.severity === 'function' ? cause.severity(context) : cause.severity
  return places.map((side) => {
    const seats = seatsOf(side, context, cause, grid)
    const predicted = (seat: Seat, values: readonly number[]): readonly Effects[] =>
      values.map((value) => effectsOf(cause.predict(value, seat), seat.side, context.sides))
    return {
      id,
      side,
      cause,
      prior: cause.prior / places.length,
      grid,
      nodes: seats.flatMap((seat) =>
        nodesOf(
          grid,
          predicted(
            seat,
            grid.points.map(({ value }) => value),
          ),
        ).map((node) => ({ ...node, weight: node.weight / seats.length })),
      ),
      fine: once(() => seats.flatMap((seat) => predicted(seat, finer(grid)))),
    }
  })
}

/**
 * The two ways in which a cause may show; one seat where there is one way. What one side may come to
 * before the other sits on both, or on either.
 */
function seatsOf(side: Side | null, context: DiagnosisContext, cause: Cause, grid: SeverityGrid): readonly Seat[] {
  if (cause.oneSideFirst === true && context.sides.length > 1)
    return [side, ...context.sides].map((at) => seatOf(at, context, false))
  const [since, older] = [seatOf(side, context, false), seatOf(side, context, true)]
  const size = grid.points[0]?.value ?? 1
  const isSame = cause.predict(size, since).length === cause.predict(size, older).length
  return isSame ? [since] : [since, older]
}

const FINER = 4

/** The sizes of a grid with those between them; never across nothing. */
function finer({ points, between }: SeverityGrid): readonly number[] {
  const values = points.map(({ value }) => value)
  if (!between) return values
  return values.flatMap((value, i) => {
    const next = values[i + 1]
    if (next === undefined || next * value <= 0) return [value]
    return Array.from({ length: FINER }, (_, step) => value * (next / value) ** (step / FINER))
  })
}

function once<T>(make: () => T): () => T {
  let made: { readonly it: T } | undefined
  return () => {
    made ??= { it: make() }
    return made.it
  }
}

function nodesOf({ points, between }: SeverityGrid, effects: readonly Effects[]): readonly Node[] {
  return points.map(({ value, weight }, i) => ({
    severity: value,
    weight,
    effects: between ? spreadToNeighbours(effects, i) : (effects[i] ?? new Map()),
  }))
}

/** Each point stands for the sizes half way to its neighbours: its predictions are as wide as that, evenly (w/√12). */
function spreadToNeighbours(effects: readonly Effects[], i: number): Effects {
  const [below, here, above] = [effects[i - 1], effects[i] ?? new Map(), effects[i + 1]]
  const wide = new Map<FeatureKey, readonly Effect[]>(here)
  for (const [key, of] of here) {
    const id = featureOf(key)
    if (FEATURES[id].scale === 'yes-no') continue
    const mean = (at: Effects | undefined): number => expectationOf(id, at?.get(key) ?? of).mean
    const ends = below === undefined || above === undefined ? 1 : 2
    const sd = Math.abs(mean(above) - mean(below)) / ends / Math.sqrt(12)
    if (sd > 0) wide.set(key, [...of, add(0, sd)])
  }
  return wide
}

const seatOf = (side: Side | null, context: DiagnosisContext, otherWay: boolean): Seat => ({
  otherWay,
  side,
  sign: side === 'operator_side' ? 1 : side === 'drive_side' ? -1 : 0,
  pair: context.sides.length === 2,
  context,
})

const NO_EFFECTS: readonly Effects[] = [new Map()]

const nothing = (id: 'healthy' | 'unknown', prior: number): Hypothesis => ({
  id,
  side: null,
  cause: null,
  prior,
  grid: present,
  nodes: [{ severity: 1, weight: 1, effects: new Map() }],
  fine: () => NO_EFFECTS,
})
