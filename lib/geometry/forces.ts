import type { OperatingState, Trio, ZoneGeometry } from './description.ts'
import { trioOf } from './description.ts'
import { forceFactor } from './force-factor.ts'
import { weightAlongArrow } from './gravity.ts'
import { liftedMomentum, momentumTerm, webForce } from './resultant.ts'
import { mapSides, type Sided } from './sided.ts'
import { sharesOf } from './sides.ts'
import { dot, unitAt } from './vector.ts'
import { type Wrap, wrapOf } from './wrap.ts'

/** Every number that the forces on the cells follow from. */
export interface ForceInputs extends Trio {
  readonly arrows: Sided<number>
  /** m; null for one cell. */
  readonly cellDistance: number | null
  readonly mass: number
  readonly centreOfMass: number
  readonly gravity: number
  readonly width: number
  readonly basisWeight: number
  readonly tension: number
  readonly tensionRise: number
  readonly speed: number
  readonly lineOfPull: number
  readonly webOffset: number
}

export interface SideForces {
  /** Newtons along the arrow per newton of tension. */
  readonly forceFactor: number
  /** Parts of the tension, of the web's momentum and of the roller's weight that this side carries. */
  readonly tensionShare: number
  readonly webShare: number
  readonly weightShare: number
  /** Force of the web alone along the arrow, of the bare roller alone, and of both, N. */
  readonly webForce: number
  readonly bareForce: number
  readonly force: number
}

export interface Forces {
  readonly wrap: Wrap
  /** m v², N, and the part of it that the web can take off: all of it while the tension exceeds it. */
  readonly momentum: number
  readonly liftedMomentum: number
  readonly sides: Sided<SideForces>
}

/** The inputs of a zone in a state. Throws RangeError when two cells have no distance, or a neighbour is missing. */
export function forceInputs(geometry: ZoneGeometry, state: OperatingState): ForceInputs {
  if (!('single' in geometry.cells) && !((geometry.cellDistance ?? 0) > 0))
    throw new RangeError('two cells need the distance between them')
  return {
    ...trioOf(geometry, state.neighbour),
    arrows: mapSides(geometry.cells, ({ arrow }) => arrow),
    cellDistance: geometry.cellDistance,
    mass: geometry.roller.mass,
    centreOfMass: geometry.roller.centreOfMass,
    gravity: geometry.gravity,
    width: geometry.web.width,
    basisWeight: geometry.web.basisWeight,
    tension: state.tension,
    tensionRise: state.tensionRise,
    speed: state.speed,
    lineOfPull: state.lineOfPull,
    webOffset: state.webOffset,
  }
}

/**
 * Forces along the arrows: the two spans' pull by the line of pull, the momentum by the web's centre, the weight by the
 * roller's centre of mass, each projected on the side's own arrow. Throws ImpossiblePath as `wrapOf` does.
 *
 * F_s = share_T (a·(T_out u_out − T_in u_in)) − share_w m v² k_s, which with T the mean of both spans is
 * share_T (k_s T + (T_out − T_in) cos(θ/2) sin δ) − share_w m v² k_s. Source: momentum balance on the wrapped web and
 * balance of moments of the roller on its two cells.
 */
export function forcesOf(inputs: ForceInputs): Forces {
  return forcesOfWrap(wrapOf(inputs.before, inputs.measuring, inputs.after), inputs)
}

/** The same for a wrap that is known by itself; the three rollers are not looked at. */
export function forcesOfWrap(wrap: Wrap, inputs: Omit<ForceInputs, keyof Trio>): Forces {
  const momentum = momentumTerm(inputs.basisWeight * inputs.width, inputs.speed)
  const web = {
    tensionIn: inputs.tension - inputs.tensionRise / 2,
    tensionOut: inputs.tension + inputs.tensionRise / 2,
    momentum,
  }
  const force = webForce(web, wrap.incoming.direction, wrap.outgoing.direction)
  const shareAt = sharing(inputs)
  const sides = mapSides(inputs.arrows, (arrow, side): SideForces => {
    const axis = unitAt(arrow)
    const tensionShare = shareAt(inputs.lineOfPull, side)
    const webShare = shareAt(inputs.webOffset, side)
    const weightShare = shareAt(inputs.centreOfMass, side)
    const alongArrow = tensionShare * dot(axis, force.fromTension) + webShare * dot(axis, force.fromMomentum)
    const bareForce = weightAlongArrow(inputs.mass * inputs.gravity, arrow, weightShare)
    return {
      forceFactor: forceFactor(arrow, wrap),
      tensionShare,
      webShare,
      weightShare,
      webForce: alongArrow,
      bareForce,
      force: alongArrow + bareForce,
    }
  })
  return { wrap, momentum, liftedMomentum: liftedMomentum(web), sides }
}

/** The part of a load at a place across the roller that a side carries; all of it where there is one cell. */
export function sharing({
  cellDistance,
}: Pick<ForceInputs, 'cellDistance'>): (offset: number, side: 'drive_side' | 'operator_side' | 'single') => number {
  return (offset, side) => (side === 'single' || cellDistance === null ? 1 : sharesOf(offset, cellDistance)[side])
}
