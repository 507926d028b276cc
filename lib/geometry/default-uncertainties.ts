import { radians } from './vector.ts'

const CP = 'common practice, no source'

/** Standard uncertainty of a kind of input where a site gives none: so much, or such a share of the value. */
export interface DefaultUncertainty {
  readonly absolute: number
  readonly relative: number
  readonly source: string
}

const absolute = (u: number): DefaultUncertainty => ({ absolute: u, relative: 0, source: CP })
const relative = (share: number): DefaultUncertainty => ({ absolute: 0, relative: share, source: CP })

/** By kind of input, SI. All common practice: a careful person with tape, inclinometer and data sheet. */
export const DEFAULT_UNCERTAINTIES = {
  /** An arrow, by inclinometer, rad (0.5°). */
  angle: absolute(radians(0.5)),
  /** A roller's centre, by tape or drawing, m. */
  position: absolute(1e-3),
  /** A machined roller's radius, m. */
  radius: absolute(2e-4),
  /** Radius of a winding roll, m, and angle of a dancer's arm, rad (1°). */
  windingRadius: absolute(2e-3),
  armAngle: absolute(radians(1)),
  cellDistance: absolute(2e-3),
  mass: relative(0.001),
  centreOfMass: absolute(5e-3),
  /** Local g by latitude, m/s². */
  gravity: absolute(5e-4),
  width: absolute(2e-3),
  basisWeight: relative(0.02),
  /** A typed tension; a reference channel brings its own. */
  tension: relative(0.02),
  /** Bearing drag, N of web tension. */
  tensionRise: absolute(0.5),
  speed: relative(0.005),
  /** Where the web runs and pulls, m. */
  lineOfPull: absolute(0.01),
  webOffset: absolute(5e-3),
  /** Rated output of a cell, or the amplifier's span. */
  sensitivity: relative(0.0025),
} as const satisfies Record<string, DefaultUncertainty>

export type UncertaintyKind = keyof typeof DEFAULT_UNCERTAINTIES

export const defaultUncertainty = (kind: UncertaintyKind, value: number): number => {
  const { absolute: least, relative: share } = DEFAULT_UNCERTAINTIES[kind]
  return Math.hypot(least, share * value)
}
