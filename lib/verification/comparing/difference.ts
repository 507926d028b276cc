import type { RecordFigure } from '../../../shared/schemas/verification/result.ts'
import type { OperatingPoint } from './operating-point.ts'
import type { Told } from './told.ts'

export interface Difference {
  readonly value: number
  /** Expanded, about 95 %. */
  readonly U: number
}

/** A figure that is a number with an uncertainty. */
type Number95 = RecordFigure & { readonly value: number; readonly U: number }

/**
 * d = after − before with U(d), never too narrow for what both visits share.
 *
 * Random parts are independent. Of a systematic part nobody knows here whether both visits share it: shared, it cancels
 * in the difference, so taking it as independent makes U(d) too wide (JCGM 100, 5.2.2). Only where the values have
 * opposite signs a shared one that scales them (a gain, a distance) pulls them apart; there systematic parts are added
 * outright. Each part keeps the coverage factor of its own figure: √((k₁u₁)² + (k₂u₂)²) covers at least what each does,
 * whatever the degrees of freedom (Banerjee, Sankhyā 22, 1960; M). What was measured at another operating
 * point may differ for that alone: its share of the figure (in proportion to tension, with the square of speed) is added.
 */
export function differenceOf(before: Told, after: Told): Difference {
  const [a, b] = [before.figure as Number95, after.figure as Number95]
  const [first, second] = [partsOf(a), partsOf(b)]
  const random = Math.hypot(first.random, second.random)
  const isAcross = a.value * b.value < 0
  const systematic = isAcross ? first.systematic + second.systematic : Math.hypot(first.systematic, second.systematic)
  return { value: b.value - a.value, U: Math.hypot(random, systematic) + movedPoint(before, after) }
}

/** Both parts of U. */
function partsOf({ U, u, uRandom }: Number95): { readonly random: number; readonly systematic: number } {
  const share = u === null || u === 0 ? 0 : Math.min(1, (uRandom ?? 0) / u)
  return { random: U * share, systematic: U * Math.sqrt(1 - share ** 2) }
}

function movedPoint({ figure: a, at: from }: Told, { figure: b, at: to }: Told): number {
  if (from === null || to === null) return 0
  const size = Math.max(Math.abs(a.value ?? 0), Math.abs(b.value ?? 0))
  return size * (2 * moved(from, to, 'speed') + moved(from, to, 'tension'))
}

function moved(from: OperatingPoint, to: OperatingPoint, what: keyof OperatingPoint): number {
  const [a, b] = [from[what], to[what]]
  if (a === null || b === null || a === b) return 0
  return Math.abs(b - a) / Math.min(Math.abs(a), Math.abs(b))
}
