import type { FigureLimit } from '../../shared/schemas/now.ts'

const CP = 'common practice, no source'
const about = (target: number, half: number): FigureLimit => ({ target, half, source: CP })

/** Limits of a known-weight calibration, each in the unit of its figure. A site may set its own. */
export const DEFAULT_CALIBRATION_LIMITS = {
  /** % of span. */
  nonlinearity: about(0, 0.5),
  hysteresis: about(0, 0.5),
  repeatability: about(0, 0.3),
  zeroReturn: about(0, 0.2),
  /** Found gain against the expected one, %: the agreement asked for with a known weight. */
  gain: about(0, 2),
  /** Off-centre check: movement of the sum, % of it; and the imbalance's slope against 2/L, %. */
  sumMovement: about(0, 0.5),
  imbalanceSlope: about(0, 2),
  differenceSlope: about(0, 2),
} as const satisfies Record<string, FigureLimit>

type CalibrationLimit = keyof typeof DEFAULT_CALIBRATION_LIMITS
export type CalibrationLimits = Readonly<Record<CalibrationLimit, FigureLimit>>
