import type { BothEnds } from './ends.ts'

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
}

/** How the measuring roller is fitted. */
export interface FitParameters {
  ends: BothEnds<EndFit>
  /** Roller against level, and against its neighbour, m/m. */
  level: number
  parallel: number
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
}

/** A roller fitted as it should be. */
export function soundFit(): FitParameters {
  const ends = { drive_side: { ...SOUND_END }, operator_side: { ...SOUND_END } }
  return { ends, level: 0.0001, parallel: 0.0001 }
}
