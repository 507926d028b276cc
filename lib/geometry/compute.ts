import type { GeometryRequest, GeometryResult } from '../../shared/schemas/compute-geometry.ts'
import type { Propagated } from '../uncertainty/propagate.ts'
import { type Expected, expectedOf } from './expected.ts'
import { propagateExpected } from './expected-uncertainty.ts'
import { pathFaultSentence } from './path-fault.ts'
import { mapSides } from './sided.ts'
import type { Uncertainties } from './uncertain-inputs.ts'
import { warningSentence } from './warning-words.ts'

type Possible = Extract<GeometryResult, { possible: true }>
type Figure = Possible['uncertainty']['wrap']

/**
 * What the signals of a posted layout should be, with linear uncertainty and its budget; a path that cannot be is a
 * result that says why. A figure that is undefined at the estimates is null. Throws RangeError for a description that
 * contradicts itself.
 */
export function computeGeometry(request: GeometryRequest): GeometryResult {
  const { geometry, state } = request
  const result = expectedOf(geometry, state)
  if (!result.possible)
    return { possible: false, fault: { ...result.fault }, sentence: pathFaultSentence(result.fault) }
  const given = request.uncertainties as Uncertainties
  const told = propagateExpected({ geometry, state, given, correlations: [] })
  return {
    possible: true,
    expected: expectedResult(result.expected),
    uncertainty: {
      wrap: figureOf(told.wrap),
      webForce: figureOf(told.webForce),
      sides: mapSides(told.sides, (side) => ({
        forceFactor: figureOf(side.forceFactor),
        webForce: figureOf(side.webForce),
        bareForce: figureOf(side.bareForce),
        force: figureOf(side.force),
        signal: figureOf(side.signal),
      })),
    },
  }
}

function expectedResult(expected: Expected): Possible['expected'] {
  return {
    ...expected,
    wrap: { ...expected.wrap },
    sides: mapSides(expected.sides, (side) => ({ ...side, capacity: [...side.capacity] })),
    imbalance: expected.imbalance === null ? null : orNull(expected.imbalance),
    lineOfForce: expected.lineOfForce === null ? null : orNull(expected.lineOfForce),
    frictionNeeded: orNull(expected.frictionNeeded),
    warnings: expected.warnings.map((warning) => ({ ...warning, sentence: warningSentence(warning) })),
  }
}

function figureOf({ value, u, U, k, dof, budget }: Propagated): Figure {
  return {
    value: orNull(value),
    u: orNull(u),
    U: orNull(U),
    k: orNull(k),
    dof,
    budget: budget.map(({ name, unit, value: at, u: uAt, source, sensitivity, contribution, share }) => ({
      name,
      unit,
      value: at,
      u: uAt,
      source: source ?? null,
      sensitivity: orNull(sensitivity),
      contribution: orNull(contribution),
      share: orNull(share),
    })),
  }
}

/** A number that is none (no slack web has an imbalance) as null: JSON knows no NaN. */
const orNull = (x: number): number | null => (Number.isFinite(x) ? x : null)
