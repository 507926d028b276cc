import type { BothEnds } from './ends.ts'
import type { GrowthParameters } from './growth.ts'

/** How one end of the roller is fitted to its cell. */
export interface EndFit {
  /** Gap between shaft end and cell in the cold, m. */
  clearance: number
  /** How far the shaft can be moved in its clamp by hand, m: none means a twisted cell. */
  freePlay: number
  /** Bushing flush, and split in line. */
  bushingFlush: boolean
  clampsCrosswise: boolean
  boltsTight: boolean
  cableSeated: boolean
  connectorDry: boolean
  /** Nothing but the clamp touches shaft or roller. */
  nothingTouches: boolean
  /** A twisted cell: share of the force that passes it by, and friction that it is held by, N. */
  bindShare: number
  bindFriction: number
  /** A loose clamp or bolt: how far the force jumps when the end sits anew, N (1 σ). */
  looseness: number
}

/** How the measuring roller is fitted. */
export interface FitParameters {
  ends: BothEnds<EndFit>
  /** Roller against level, and against its neighbour, m/m. */
  level: number
  parallel: number
  growth: GrowthParameters
}

const SOUND_END: EndFit = {
  clearance: 0.002,
  freePlay: 0.0004,
  bushingFlush: true,
  clampsCrosswise: true,
  boltsTight: true,
  cableSeated: true,
  connectorDry: true,
  nothingTouches: true,
  bindShare: 0,
  bindFriction: 0,
  looseness: 0,
}

/** Carbon steel in a frame of the same (10.8e-6/K, as the handbook's table has it), the operator side free to move. */
const STEEL: GrowthParameters = {
  shaftExpansion: 10.8e-6,
  frameExpansion: 10.8e-6,
  setAt: 22,
  shaftWarmth: 6,
  warmingTime: 2400,
  floating: 'operator_side',
  stiffness: 2e6,
  crossTalk: 0.02,
}

/** A roller fitted as it should be. */
export function soundFit(): FitParameters {
  const ends = { drive_side: { ...SOUND_END }, operator_side: { ...SOUND_END } }
  return { ends, level: 0.0001, parallel: 0.0001, growth: { ...STEEL } }
}
