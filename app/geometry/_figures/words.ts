import { degrees, signedAngle } from '../../../lib/geometry/vector.ts'
import { decimalsFor, formatNumber, NBSP } from '../../_ui/format.ts'

/** `104.1°` */
export const inDegrees = (angle: number, decimals = 1): string => `${formatNumber(degrees(angle), decimals)}°`

/** The same brought into (−180°, 180°]. */
export const directionInDegrees = (angle: number): string => inDegrees(signedAngle(angle))

/** `104.1° ± 0.4°`, rounded to the uncertainty but never finer than an inclinometer shows. */
export function angleWithU(angle: number, U: number): string {
  const decimals = Math.max(1, Math.min(2, decimalsFor(degrees(U))))
  return `${formatNumber(degrees(angle), decimals)}°${NBSP}±${NBSP}${formatNumber(degrees(U), decimals)}°`
}

/** `12.345 ± 0.021 mA`; a value alone where U is not known. */
export function plainWithU(value: number, U: number | null, unit: string): string {
  if (U === null || !Number.isFinite(U)) return `${formatNumber(value, 3)}${NBSP}${unit}`.trim()
  const decimals = decimalsFor(U)
  return `${formatNumber(value, decimals)}${NBSP}±${NBSP}${formatNumber(U, decimals)}${NBSP}${unit}`.trim()
}

export const percent = (share: number, decimals = 1): string => `${formatNumber(100 * share, decimals)}${NBSP}%`
