import type { DiagnosisContext } from '../../shared/schemas/diagnosis.ts'
import { add, all, own, type Seat, spread, type Touched, times, yes, zone } from './cause.ts'

/**
 * What a share of force on one side does to what both sides show together: with ratios r of measured over right force,
 * the mean error (r_DS + r_OS)/2 − 1, half the difference, and I = (r_OS − r_DS)/(r_OS + r_DS), all in %.
 *
 * For r_OS = cos δ, r_DS = 1 this is |I| = tan²(δ/2). Source: handbook of the trade's geometry, moments and
 * (1 − cos δ)/(1 + cos δ) = tan²(δ/2).
 */
export function together(drive: number, operator: number): { common: number; half: number; imbalance: number } {
  const sum = drive + operator
  const imbalance = Math.abs(sum) < 0.02 ? Math.sign(operator - drive) * 10_000 : (100 * (operator - drive)) / sum
  return { common: 50 * sum - 100, half: 50 * (operator - drive), imbalance }
}

/** Side difference beyond this is a sum near nothing: no longer told as a share, % (common practice). */
export const MOST_IMBALANCE = 150

/** One side's force times `ratio`, under a running web: what agreement and side difference show. */
export function runningRatio(seat: Seat, ratio: number): readonly Touched[] {
  if (seat.sign === 0) return commonRatio(ratio)
  const { common, half, imbalance } = seat.sign > 0 ? together(1, ratio) : together(ratio, 1)
  return [
    zone('slope-common', add(common)),
    zone('agreement-now', add(common)),
    zone('slope-difference', add(half)),
    zone('imbalance-now', add(clipped(imbalance))),
    ...momentumRead(common),
  ]
}

/**
 * What takes m v² off the force shows by the same share: of r (T − m v²) where T − m v² is expected, r − 1 of −m v² is
 * left beside the tension’s own (momentum balance of the wrapped web). `common` is r less 1, %.
 */
const momentumRead = (common: number): readonly Touched[] => [zone('speed-effect', add(-common))]

/** The same under a known weight at mid-span. */
export function weightRatio(seat: Seat, ratio: number): readonly Touched[] {
  if (seat.sign === 0) return [zone('weight-common', add(100 * (ratio - 1)))]
  const { common, imbalance } = seat.sign > 0 ? together(1, ratio) : together(ratio, 1)
  return [zone('weight-common', add(common)), zone('weight-difference', add(clipped(imbalance)))]
}

/** Every side's force times `ratio`. */
export const commonRatio = (ratio: number): readonly Touched[] => [
  zone('slope-common', add(100 * (ratio - 1))),
  zone('agreement-now', add(100 * (ratio - 1))),
  ...momentumRead(100 * (ratio - 1)),
]

const clipped = (imbalance: number): number => Math.max(-200, Math.min(200, imbalance))

/** Usual force of the web on a side, % of span; half of it where nothing tells it (common practice). */
export const usualForce = ({ usualPercentOfSpan }: DiagnosisContext): number => Math.abs(usualPercentOfSpan ?? 50) || 50

/** A constant part on the own side, % of span: at one tension it looks like a share and a side difference. */
export function ownOffset(seat: Seat, offset: number, sd = 0): readonly Touched[] {
  const share = 50 / usualForce(seat.context)
  const whole = seat.sign === 0 ? 2 : 1
  return [
    own('offset', add(offset, sd)),
    own('zero-return', add(offset, sd)),
    zone('agreement-now', add(whole * share * offset, share * sd)),
    ...(seat.sign === 0 ? [] : [zone('imbalance-now', add(seat.sign * share * offset, share * sd))]),
    ...negative(seat, offset),
  ]
}

function negative(seat: Seat, offset: number): readonly Touched[] {
  return offset < -1.1 * usualForce(seat.context) ? [own('reads-negative', yes(0.9))] : []
}

/** A constant part on every side, % of span; `apart` is by how much the sides may differ. */
export function commonOffset(seat: Seat, offset: number, sd = 0, apart = sd): readonly Touched[] {
  const share = 100 / usualForce(seat.context)
  return [
    all('offset', add(offset, sd)),
    all('zero-return', add(offset, sd)),
    zone('agreement-now', add(share * offset, share * sd)),
    ...(seat.pair ? [zone('imbalance-now', spread(share * apart))] : []),
    ...(offset < -1.1 * usualForce(seat.context) ? [all('reads-negative', yes(0.9))] : []),
  ]
}

/** Part of its weight that an arrow feels, −1 to 1: a · (0, −1) = −sin α; null where the target is not known. */
export function weightPart(context: DiagnosisContext, leanDeg = 0): number | null {
  const { arrowTargetDeg } = context
  if (arrowTargetDeg === null) return null
  // Leaning downstream turns an arrow that points up clockwise, one that points down counter-clockwise.
  const turn = Math.sin((arrowTargetDeg * Math.PI) / 180) >= 0 ? -leanDeg : leanDeg
  return -Math.sin(((arrowTargetDeg + turn) * Math.PI) / 180)
}

/** Weight component, measured less predicted, of an arrow that leans off its target; nothing without a target. */
export function leanGravity(seat: Seat, leanDeg: number, at: typeof own | typeof all): readonly Touched[] {
  const [found, meant] = [weightPart(seat.context, leanDeg), weightPart(seat.context)]
  return found === null || meant === null ? [] : otherWeight(seat, found - meant, at)
}

/** The same where a wrong gain is in the config alone: readings are right, so that a zero, however old, is too. */
export function scaledGravity(seat: Seat, ratio: number): readonly Touched[] {
  const meant = weightPart(seat.context)
  return meant === null ? [] : [all('gravity-error', add(100 * meant * (ratio - 1)))]
}

/** The same of a side that reads `ratio` times what it should. */
export function ratioGravity(seat: Seat, ratio: number, at: typeof own | typeof all): readonly Touched[] {
  const meant = weightPart(seat.context)
  return meant === null ? [] : otherWeight(seat, meant * (ratio - 1), at)
}

/**
 * A side that shows `part` more of its roller's weight than predicted. The zero in force holds that too if it was taken
 * since; if it is older, or worked out, all of it is left as a constant part.
 */
function otherWeight(seat: Seat, part: number, at: typeof own | typeof all): readonly Touched[] {
  const { weightN, spanN } = seat.context
  const gravity = at('gravity-error', add(100 * part))
  if (weightN === null || !spanN || !seat.otherWay) return [gravity]
  const left = (100 * part * weightN) / Math.abs(spanN)
  const about = Math.abs(left) / 10
  return [gravity, ...(at === own ? ownOffset(seat, left, about) : commonOffset(seat, left, about, about / 2))]
}

export const cosDeg = (angle: number): number => Math.cos((angle * Math.PI) / 180)

/** Rise time of an amplifier as it is usually set, s (common practice). */
export const USUAL_RISE_S = 0.1

/**
 * What a filter `ratio` times as slow leaves of the noise: white noise falls with its root, vibration above the corner
 * of a second-order low-pass with its square; what there is of each is not known.
 */
export function quieter(at: typeof own | typeof all, ratio: number): readonly Touched[] {
  return [
    at('noise', times(ratio ** -1.2, Math.max(1.5, ratio ** 0.6))),
    at('static-noise', times(ratio ** -0.6, Math.max(1.5, ratio ** 0.4))),
  ]
}
