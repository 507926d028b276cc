import { type EndFit, soundFit } from '../physics/fit.ts'
import type { Bench, Side } from './bench.ts'

/** How this end is fitted on a sound line. */
export function soundEnd(bench: Bench, side: Side): EndFit {
  return (bench.soundZone.fit ?? soundFit()).ends[side]
}
