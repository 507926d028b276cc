/**
 * Largest ratio of the tensions of two spans that friction can hold over a wrap: e^{μθ}, of the tensions less m v².
 * Source: belt friction (capstan equation), Beer & Johnston, Vector Mechanics: Statics, 8.10; with m v²: Shigley, 17-2.
 */
export const gripRatio = (friction: number, wrap: number): number => Math.exp(friction * wrap)

/**
 * Friction that a roller needs so that the web does not slide over it: ln((T_high − m v²)/(T_low − m v²))/θ.
 * 0 for equal spans; Infinity when a span presses no more.
 */
export function frictionNeeded(tensionIn: number, tensionOut: number, momentum: number, wrap: number): number {
  const low = Math.min(tensionIn, tensionOut) - momentum
  const high = Math.max(tensionIn, tensionOut) - momentum
  if (high === low) return 0
  return low > 0 ? Math.log(high / low) / wrap : Number.POSITIVE_INFINITY
}
