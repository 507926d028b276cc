import { add, subtract, times, type Vector } from './vector.ts'

/** What the web does on each side of the measuring roller. */
export interface WebState {
  /** Tension of the arriving and of the leaving span, N. */
  readonly tensionIn: number
  readonly tensionOut: number
  /** m v², N. */
  readonly momentum: number
}

/** m v²: the part of the tension that only bends the moving web round the roller, N. @param massPerLength basis weight × width, kg/m */
export const momentumTerm = (massPerLength: number, speed: number): number => massPerLength * speed * speed

/** The momentum that can be taken out of a tension: a web whose m v² exceeds it has lifted off and presses no less than nothing. */
export const liftedMomentum = ({ tensionIn, tensionOut, momentum }: WebState): number =>
  Math.max(0, Math.min(momentum, tensionIn, tensionOut))

/** The two parts of the web's force on the roller, N: they may act at different places across it. */
export interface WebForce {
  readonly fromTension: Vector
  readonly fromMomentum: Vector
}

/**
 * Force of the web on the roller: from tension T_out u_out − T_in u_in, from momentum −m v² (u_out − u_in).
 *
 * With equal spans they add to (T − m v²)(u_out − u_in), of size 2 (T − m v²) sin(θ/2) along the
 * bisector of the wrap. Source: momentum balance on the wrapped web; for v → 0 the belt resultant
 * of statics textbooks (Beer & Johnston, Vector Mechanics: Statics, belt friction).
 */
export function webForce(web: WebState, directionIn: Vector, directionOut: Vector): WebForce {
  return {
    fromTension: subtract(times(directionOut, web.tensionOut), times(directionIn, web.tensionIn)),
    fromMomentum: times(subtract(directionOut, directionIn), -liftedMomentum(web)),
  }
}

/** Both parts together, N. */
export const resultant = ({ fromTension, fromMomentum }: WebForce): Vector => add(fromTension, fromMomentum)

/**
 * T_out − T_in that a roller's bearing drag and a change of speed ask for, N: (M_d + J dω/dt)/R.
 * @param dragTorque N·m · @param inertia kg·m² · @param angularAcceleration rad/s² · @param radius m
 */
export function spanDifference(
  dragTorque: number,
  inertia: number,
  angularAcceleration: number,
  radius: number,
): number {
  return (dragTorque + inertia * angularAcceleration) / radius
}
