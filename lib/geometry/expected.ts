import { airFilm, filmRatio } from './air-film.ts'
import { type ArrowWords, arrowWords, turnToTarget } from './arrow-words.ts'
import { type CapacityCase, type CapacityInputs, capacityCases, smallestUse } from './capacity.ts'
import { type Cell, type OperatingState, type Target, trioOf, type ZoneGeometry } from './description.ts'
import { lossOffBisector, offBisector } from './force-factor.ts'
import { type ForceInputs, type Forces, forceInputs, forcesOf, type SideForces, sharing } from './forces.ts'
import { ImpossiblePath, type PathFault } from './path-fault.ts'
import { momentumTerm } from './resultant.ts'
import { clearanceLeft, shaftGrowth } from './shaft-growth.ts'
import { mapSides, ofSide, type Sided, sumOf } from './sided.ts'
import { lineOfForce } from './sides.ts'
import { expectedSignal, fitOfOutput } from './signal.ts'
import { frictionNeeded } from './traction.ts'
import { type GeometryWarning, warningsOf } from './warnings.ts'
import { type Wrap, wrapOf } from './wrap.ts'

/** What one side should read, SI; δ and angles in rad. */
export interface ExpectedSide extends SideForces {
  readonly arrow: number
  readonly words: ArrowWords
  readonly offBisector: number
  /** Share of the signal lost by δ: 1 − cos δ. */
  readonly loss: number
  /** The arrow from its target, counter-clockwise positive, and how to turn it there. */
  readonly offTarget: number
  readonly turn: string
  /** Electrical signal with the bare roller and now, in the unit of the output, and whether it can say it. */
  readonly bareSignal: number
  readonly signal: number
  readonly output: 'fits' | 'under' | 'over'
  readonly capacity: readonly CapacityCase[]
  /** Smallest web force as a share of rated capacity. */
  readonly smallestUse: number
}

/** Everything expected of a zone in a state. */
export interface Expected {
  readonly wrap: Wrap
  /** m v², N. */
  readonly momentum: number
  readonly sides: Sided<ExpectedSide>
  /** Sums over the sides, N along the arrows. */
  readonly webForce: number
  readonly bareForce: number
  readonly force: number
  /** (operator − drive)/(operator + drive) of the web forces, and where the force acts, m; null for one cell. */
  readonly imbalance: number | null
  readonly lineOfForce: number | null
  /** Indicated force from bare roller to the largest tension, standing, N. */
  readonly span: number
  readonly target: { readonly angle: number; readonly words: ArrowWords }
  /** Air film, m, and film over roughness; null when not asked or the web floats. */
  readonly film: { readonly thickness: number; readonly ratio: number } | null
  /** Growth of the shaft and clearance left, m; null when not asked. */
  readonly fit: { readonly growth: number; readonly left: number } | null
  /** Friction that keeps the web from sliding over the roller. */
  readonly frictionNeeded: number
  readonly warnings: readonly GeometryWarning[]
}

export type ExpectedResult =
  | { readonly possible: true; readonly expected: Expected }
  | { readonly possible: false; readonly fault: PathFault }

/**
 * What the signals of a zone should be in a state, or why the web cannot run so.
 *
 * Units: SI. Throws RangeError for a description that contradicts itself (see `forceInputs`, `trioOf`); an impossible
 * layout is a result, not an error. Sources: at each part's own function.
 */
export function expectedOf(geometry: ZoneGeometry, state: OperatingState): ExpectedResult {
  try {
    return { possible: true, expected: compose(geometry, state) }
  } catch (error) {
    if (error instanceof ImpossiblePath) return { possible: false, fault: error.fault }
    throw error
  }
}

function compose(geometry: ZoneGeometry, state: OperatingState): Expected {
  const inputs = forceInputs(geometry, state)
  const forces = forcesOf(inputs)
  const { wrap, momentum } = forces
  const target = targetAngle(geometry, wrap)
  const sides = mapSides(forces.sides, (side, name) =>
    sideOf(side, ofSide(geometry.cells, name), forces, target, capacityInputs(geometry, inputs, side, name)),
  )
  const told = {
    wrap,
    momentum,
    sides,
    webForce: sumOf(mapSides(sides, ({ webForce }) => webForce)),
    bareForce: sumOf(mapSides(sides, ({ bareForce }) => bareForce)),
    force: sumOf(mapSides(sides, ({ force }) => force)),
    imbalance: imbalance(sides),
    lineOfForce:
      inputs.cellDistance === null
        ? null
        : lineOfForce(state.tension, forces.liftedMomentum, state.lineOfPull, state.webOffset),
    span: spanOf(forces, geometry.load.largest),
    target: { angle: target, words: arrowWords(target) },
    film: filmOf(geometry, state, forces),
    fit: fitOf(geometry),
    frictionNeeded: frictionNeeded(
      state.tension - state.tensionRise / 2,
      state.tension + state.tensionRise / 2,
      momentum,
      wrap.angle,
    ),
  }
  return { ...told, warnings: warningsOf(told, geometry, state, inputs) }
}

function sideOf(
  side: SideForces,
  { arrow, capacity, chain }: Cell,
  { wrap }: Forces,
  target: number,
  check: CapacityInputs,
): ExpectedSide {
  const off = offBisector(arrow, wrap)
  const { off: offTarget, words: turn } = turnToTarget(arrow, target)
  const signal = expectedSignal(chain, side.force, side.bareForce, capacity)
  return {
    ...side,
    arrow,
    words: arrowWords(arrow),
    offBisector: off,
    loss: lossOffBisector(off),
    offTarget,
    turn,
    bareSignal: expectedSignal(chain, side.bareForce, side.bareForce, capacity),
    signal,
    output: fitOfOutput(chain.kind, signal),
    capacity: capacityCases(check),
    smallestUse: smallestUse(check),
  }
}

function capacityInputs(
  { load, cells }: ZoneGeometry,
  inputs: ForceInputs,
  side: SideForces,
  name: 'drive_side' | 'operator_side' | 'single',
): CapacityInputs {
  const shareAt = sharing(inputs)
  const shares = load.linesOfPull.map((offset) => shareAt(offset, name))
  const { capacity, chain } = ofSide(cells, name)
  return {
    load,
    forceFactor: side.forceFactor,
    momentum: momentumTerm(inputs.basisWeight * inputs.width, load.fastestSpeed),
    shares: [Math.min(...shares), Math.max(...shares)],
    bareForce: side.bareForce,
    capacity,
    chain,
  }
}

function imbalance(sides: Sided<ExpectedSide>): number | null {
  if ('single' in sides) return null
  const [drive, operator] = [sides.drive_side.webForce, sides.operator_side.webForce]
  return (operator - drive) / (operator + drive)
}

/** Σ share_s k_s T at the largest tension, standing: what the indication rises by from bare roller to there. */
function spanOf({ sides }: Forces, largest: number): number {
  return Math.abs(sumOf(mapSides(sides, ({ tensionShare, forceFactor }) => tensionShare * forceFactor * largest)))
}

/** The angle the arrows are to be set to, rad. Throws ImpossiblePath where a chosen place of the neighbour cannot be. */
function targetAngle(geometry: ZoneGeometry, wrap: Wrap): number {
  const target: Target = geometry.target
  switch (target.kind) {
    case 'bisector':
      return wrap.bisector
    case 'mount-axis':
      return target.angle
    case 'bisector-at': {
      const { before, measuring, after } = trioOf(geometry, target.neighbour)
      return wrapOf(before, measuring, after).bisector
    }
  }
}

function filmOf(
  { air, web, path }: ZoneGeometry,
  { tension, speed }: OperatingState,
  forces: Forces,
): Expected['film'] {
  if (air === null) return null
  const perWidth = (tension - forces.momentum) / web.width
  const thickness = airFilm(path.measuring.radius, air.viscosity, speed, speed, perWidth)
  if (Number.isNaN(thickness)) return null
  return { thickness, ratio: filmRatio(thickness, air.webRoughness, air.rollerRoughness) }
}

function fitOf({ fit }: ZoneGeometry): Expected['fit'] {
  if (fit === null) return null
  const growth = shaftGrowth(fit.growth)
  return { growth, left: clearanceLeft(fit.ends, growth) }
}
