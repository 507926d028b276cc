import { type Estimate, estimate } from '../uncertainty/estimate.ts'
import type { MonteCarloOptions } from '../uncertainty/monte-carlo.ts'
import { type Model, type Propagated, propagate } from '../uncertainty/propagate.ts'
import type { Correlation } from '../uncertainty/uncertain.ts'
import type { OperatingState, ZoneGeometry } from './description.ts'
import { forcesOf } from './forces.ts'
import { ImpossiblePath } from './path-fault.ts'
import { entriesOf, mapSides, ofSide, type Sided } from './sided.ts'
import { expectedSignal } from './signal.ts'
import { geometryInputs, type Uncertainties } from './uncertain-inputs.ts'

/** The figures of one side that are told with their uncertainty, by one way (`Propagated`) or both (`Estimate`). */
interface SideFigures<F> {
  readonly forceFactor: F
  /** Force of the web alone, of the bare roller, and of both along the arrow, N. */
  readonly webForce: F
  readonly bareForce: F
  readonly force: F
  /** In the unit of the output: the cell's sensitivity counts here. */
  readonly signal: F
}

export interface UncertainFigures<F> {
  /** rad */
  readonly wrap: F
  /** Sum of the web's forces along the arrows, N. */
  readonly webForce: F
  readonly sides: Sided<SideFigures<F>>
}

export interface UncertaintyRequest {
  readonly geometry: ZoneGeometry
  readonly state: OperatingState
  readonly given: Uncertainties
  /** By the names of the inputs (see `geometryInputs`). */
  readonly correlations: readonly Correlation[]
}

/** Linear propagation only: fast enough while a roller is dragged. Throws as `estimateExpected` does. */
export function propagateExpected(request: UncertaintyRequest): UncertainFigures<Propagated> {
  const { model, inputs } = modelOf(request)
  return arranged(request, propagate(model, inputs, request.correlations))
}

/**
 * The expected figures with standard uncertainty and budget, checked by Monte Carlo, which takes over where the two
 * disagree. A draw of the inputs that makes the path impossible counts as undefined. Throws ImpossiblePath when the
 * layout itself cannot be, RangeError as `geometryInputs` and `monteCarlo` do.
 */
export function estimateExpected(request: UncertaintyRequest, options: MonteCarloOptions): UncertainFigures<Estimate> {
  const { model, inputs } = modelOf(request)
  return arranged(request, estimate(model, inputs, request.correlations, options))
}

const PER_SIDE = 5

function modelOf({ geometry, state, given }: UncertaintyRequest) {
  const { draft, inputs } = geometryInputs(geometry, state, given)
  forcesOf(draft().forces)
  const sides = entriesOf(geometry.cells)
  const nothing = new Array<number>(2 + PER_SIDE * sides.length).fill(Number.NaN)
  const model: Model = (x) => {
    const changed = draft()
    inputs.forEach((input, i) => {
      const value = x[i] ?? Number.NaN
      // At its estimate the draft holds it already: a slope then costs one write, not thirty.
      if (value !== input.value) input.put(changed, value)
    })
    try {
      const { sides: told, wrap } = forcesOf(changed.forces)
      const perSide = sides.map(([side, { chain, capacity }]) => {
        const { forceFactor, webForce, bareForce, force } = ofSide(told, side)
        const felt = changed.sensitivity[side]
        const signal = expectedSignal(chain, felt * force, felt * bareForce, capacity)
        return [forceFactor, webForce, bareForce, force, signal]
      })
      return [wrap.angle, perSide.reduce((sum, row) => sum + (row[1] ?? 0), 0), ...perSide.flat()]
    } catch (error) {
      if (error instanceof ImpossiblePath) return nothing
      throw error
    }
  }
  return { model, inputs }
}

function arranged<F>({ geometry }: UncertaintyRequest, outputs: readonly F[]): UncertainFigures<F> {
  const at = (i: number): F => {
    const output = outputs[i]
    if (output === undefined) throw new RangeError(`the computation has no output ${i}`)
    return output
  }
  const place = new Map(entriesOf(geometry.cells).map(([side], i) => [side, 2 + PER_SIDE * i]))
  return {
    wrap: at(0),
    webForce: at(1),
    sides: mapSides(geometry.cells, (_, side) => {
      const first = place.get(side) ?? 0
      return {
        forceFactor: at(first),
        webForce: at(first + 1),
        bareForce: at(first + 2),
        force: at(first + 3),
        signal: at(first + 4),
      }
    }),
  }
}
