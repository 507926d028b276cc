/** Below this wrap the reading is mostly geometry, rad (30°; common practice, no source). */
export const SMALL_WRAP = Math.PI / 6

/**
 * Relative change of the force along the arrow per radian of wrap: ½ (cot(θ/2) ± tan δ), the sign by which span moves.
 *
 * On the bisector 10 % a degree at 10° of wrap, 3.3 % at 30°, 0.9 % at 90°, none at 180°. δ counter-clockwise from the
 * bisector; the sign is that of the roller's turn when the outgoing span moves, the other when the incoming one does.
 * Source: derivative of a·(u_out − u_in).
 */
export function relativeChangePerWrap(
  wrap: number,
  offBisector: number,
  turn: 1 | -1,
  moves: 'incoming' | 'outgoing',
): number {
  const sign = moves === 'outgoing' ? turn : -turn
  return 0.5 * (1 / Math.tan(wrap / 2) + sign * Math.tan(offBisector))
}
