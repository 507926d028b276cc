import type { FigureLimit } from '../../shared/schemas/now.ts'

/** A ruler shows twice its limit: inside takes the middle half, so that every ruler reads alike. */
const LIMITS_SHOWN = 2

export interface RulerScale {
  readonly from: number
  readonly to: number
  /** Limit marks: one for a figure that cannot be negative, else two. */
  readonly marks: readonly number[]
}

export function rulerScale(limit: FigureLimit, isOneSided: boolean): RulerScale {
  if (isOneSided) return { from: 0, to: limit.half * LIMITS_SHOWN, marks: [limit.half] }
  const { target, half } = limit
  return { from: target - half * LIMITS_SHOWN, to: target + half * LIMITS_SHOWN, marks: [target - half, target + half] }
}

/** Place along the ruler, 0 to 1, kept on it; `isBeyond` says that the true place is off the end. */
export function placeOn(scale: RulerScale, value: number): { readonly share: number; readonly isBeyond: boolean } {
  const share = (value - scale.from) / (scale.to - scale.from)
  return { share: Math.min(1, Math.max(0, share)), isBeyond: share < 0 || share > 1 }
}
