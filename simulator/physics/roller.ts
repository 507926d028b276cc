import { atAngle, times, type Vec2 } from './vector.ts'

/** The measuring roller itself. */
export interface RollerParameters {
  /** Mass carried by the cells, kg. */
  mass: number
  /** Where its centre of mass lies, from mid-span towards the operator side, m. */
  centreOfMass: number
  /** Moment of inertia of the turning part, kg·m². */
  inertia: number
  /** Bearing and seal drag while turning, N·m. */
  dragTorque: number
  /** Drag that grows with the turn rate, as stiff grease has it, N·m·s; none where this is left out. */
  viscousDrag?: number
  /** Coefficient of friction, web on roller. */
  friction: number
  /** Once-per-turn tension ripple from a shell that is not round, N, and its phase, rad. */
  runout: { amplitude: number; phase: number }
  /** Unbalance in the plane of each end: mass × radius, kg·m, and its phase, rad. */
  unbalance: {
    drive_side: { massRadius: number; phase: number }
    operator_side: { massRadius: number; phase: number }
  }
}

/** Under this turn rate the drag fades out, so that a standing roller is not pushed backwards, rad/s. */
const DRAG_FADES_BELOW = 0.5

/** How the roller turns: its own rate and angle, driven by the web through friction alone. */
export class RollerSpin {
  #rate: number
  #angle = 0

  constructor(rate: number) {
    this.#rate = rate
  }

  /** rad/s */
  get rate(): number {
    return this.#rate
  }

  /** Angle turned, rad, within one turn. */
  get angle(): number {
    return this.#angle
  }

  /** Torque of drag now, N·m. */
  drag(roller: RollerParameters): number {
    const { dragTorque, viscousDrag = 0 } = roller
    return (dragTorque + viscousDrag * this.#rate) * Math.min(1, this.#rate / DRAG_FADES_BELOW)
  }

  /** Torque the web must bring for the roller to follow it at `webRate` rad/s after `dt`, N·m. */
  torqueWanted(roller: RollerParameters, webRate: number, dt: number): number {
    return (roller.inertia * (webRate - this.#rate)) / dt + this.drag(roller)
  }

  /** Turns on for `dt` under the torque the web really brought. */
  turn(roller: RollerParameters, torque: number, dt: number): void {
    const before = this.#rate
    this.#rate = Math.max(0, before + ((torque - this.drag(roller)) / roller.inertia) * dt)
    this.#angle = (this.#angle + ((before + this.#rate) / 2) * dt) % (2 * Math.PI)
  }
}

/** Centrifugal force of an unbalance at a turn rate: m r ω² along its own direction, N. `sense` is +1 ccw, −1 cw. */
export function unbalanceForce(
  unbalance: { massRadius: number; phase: number },
  rate: number,
  angle: number,
  sense: 1 | -1,
): Vec2 {
  return times(atAngle(sense * (angle + unbalance.phase)), unbalance.massRadius * rate * rate)
}
