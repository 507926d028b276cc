import type { ChannelConfig } from '../../shared/schemas/config.ts'
import { differenceToSi } from '../../shared/units.ts'
import { type ASSUMED, SET, uncertaintyOf } from './default-uncertainty.ts'
import { readingStep } from './step.ts'
import { QUANTITY_OF } from './value.ts'

/** Where an uncertainty is from that the counts themselves tell. */
export const STEP = 'one step of the counts'

export interface ValueUncertainty {
  /** Standard uncertainty, SI. */
  readonly u: number
  /** Of its larger part. */
  readonly source: typeof ASSUMED | typeof SET | typeof STEP
}

/**
 * Standard uncertainty of a channel's value that is no force, SI, at `value` (SI): its share (`u_percent`) and a part
 * that stays at 0, by root sum of squares (JCGM 100, 5.1.2). That part is the config's `u`; without it one step of the
 * counts, which says no more than where in the step the value lies: step/√12 (JCGM 100, 4.3.7). The share is assumed
 * where the config gives neither. 0 for a value of 0 that nothing is known of.
 */
export function valueUncertainty(channel: ChannelConfig, value: number): ValueUncertainty {
  const { scale, measures } = channel
  const isShareTold = scale?.u_percent !== undefined || scale?.u === undefined
  const { share, source } = uncertaintyOf('value', isShareTold ? scale?.u_percent : 0)
  const relative = Math.abs(value) * share
  if (scale === undefined) return { u: relative, source }
  const [absolute, from] =
    scale.u === undefined ? ([stepOf(channel) / Math.sqrt(12), STEP] as const) : ([scale.u, SET] as const)
  const still = differenceToSi(QUANTITY_OF[measures].kind, absolute, scale.unit)
  return { u: Math.hypot(relative, still), source: still > relative ? from : source }
}

/** One count in the unit of the scale. */
function stepOf(channel: ChannelConfig): number {
  const { scale } = channel
  if (scale === undefined) return 0
  const { counts, reads } = scale
  return Math.abs((readingStep(channel) * (reads[1] - reads[0])) / (counts[1] - counts[0]))
}
