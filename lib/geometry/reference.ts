import { type Propagated, propagateOne } from '../uncertainty/propagate.ts'
import type { Input, Uncertain } from '../uncertainty/uncertain.ts'

/** Tension told by something other than the cells, N, with its standard uncertainty and budget. */
export interface Reference {
  readonly how: ReferenceKind
  readonly tension: Propagated
  readonly formula: string
}
export type ReferenceKind = 'typed' | 'channel' | 'known weight' | 'brake torque' | 'dancer' | 'draw'

const input = (name: string, unit: string, value: Uncertain): Input => ({ name, unit, ...value })

function reference(
  how: ReferenceKind,
  formula: string,
  inputs: readonly Input[],
  of: (x: readonly number[]) => number,
): Reference {
  return { how, formula, tension: propagateOne(of, inputs) }
}

/** A set value that somebody typed. */
export const typedTension = (tension: Uncertain): Reference =>
  reference('typed', 'T as typed', [input('typed tension', 'N', tension)], ([t = Number.NaN]) => t)

/** The value of a live channel. */
export const channelTension = (tension: Uncertain): Reference =>
  reference('channel', 'T as the channel tells it', [input('reference channel', 'N', tension)], ([t = Number.NaN]) => t)

/** A mass hung on a rope along the web path: m·g. Friction of the rope and of other rollers is not in it. */
export function knownWeight(mass: Uncertain, gravity: Uncertain): Reference {
  return reference(
    'known weight',
    'T = m·g',
    [input('mass', 'kg', mass), input('local g', 'm/s²', gravity)],
    ([m = Number.NaN, g = Number.NaN]) => m * g,
  )
}

export interface BrakeInputs {
  /** N·m */
  readonly brakeTorque: Uncertain
  readonly frictionTorque: Uncertain
  /** kg·m² and rad/s²: 0 at steady speed. */
  readonly inertia: Uncertain
  readonly angularAcceleration: Uncertain
  /** Of the roll that the brake holds, m. */
  readonly radius: Uncertain
}

/** Brake on an unwinding roll: (M_brake + M_friction − J dω/dt)/R. Source: torque balance of the roll. */
export function brakeTension(brake: BrakeInputs): Reference {
  return reference(
    'brake torque',
    'T = (M_brake + M_friction − J·dω/dt)/R',
    [
      input('brake torque', 'N·m', brake.brakeTorque),
      input('friction torque', 'N·m', brake.frictionTorque),
      input('inertia', 'kg·m²', brake.inertia),
      input('angular acceleration', 'rad/s²', brake.angularAcceleration),
      input('roll radius', 'm', brake.radius),
    ],
    ([m = 0, friction = 0, inertia = 0, acceleration = 0, radius = Number.NaN]) =>
      (m + friction - inertia * acceleration) / radius,
  )
}

/**
 * Dancer in balance: (its force − its own weight along its travel) over the number of strands that pull on it.
 * Source: force balance of the dancer.
 */
export function dancerTension(force: Uncertain, weightAlongTravel: Uncertain, strands: number): Reference {
  return reference(
    'dancer',
    `T = (F − F_weight)/${strands}`,
    [input('dancer force', 'N', force), input('dancer’s weight along its travel', 'N', weightAlongTravel)],
    ([f = Number.NaN, weight = Number.NaN]) => (f - weight) / strands,
  )
}

/**
 * Draw between two driven rollers: EA (1 − v₁/v₂) + T₁ v₁/v₂ (small-strain span at rest, see span-response). The draw
 * alone gives only the rise over T₁, and the uncertainty of v₂/v₁ is multiplied by EA: often too large to judge anything.
 *
 * @param stiffness EA, N · @param ratio v₂/v₁ · @param tension1 N
 */
export function drawTension(stiffness: Uncertain, ratio: Uncertain, tension1: Uncertain): Reference {
  return reference(
    'draw',
    'T₂ = EA·(1 − v₁/v₂) + T₁·v₁/v₂',
    [
      input('web stiffness EA', 'N', stiffness),
      input('speed ratio v₂/v₁', '1', ratio),
      input('tension before', 'N', tension1),
    ],
    ([ea = Number.NaN, r = Number.NaN, t1 = Number.NaN]) => ea * (1 - 1 / r) + t1 / r,
  )
}
