import type { CALIBRATION_FORMULAS } from '../../../lib/calibration/formulas.ts'
import type { DRIFT_FORMULAS } from '../../../lib/drift/formulas.ts'
import type { FORMULAS } from '../../../lib/verdicts/formulas.ts'

/** What a figure is called, over which time it is taken, and the file that computes it; formula and source come from there. */
export interface FigureRow {
  readonly name: string
  readonly window: string
  readonly code: string
}

const AVERAGE = 'average_s, 30 s as it comes'
const DRIFT = 'up to drift_s, 30 min as it comes; told from a third of it on, at the latest after 10 min'

/** The compiler asks for a row when a formula is added. */
export const LIVE_ROWS: Readonly<Record<keyof typeof FORMULAS | 'agreement', FigureRow>> = {
  force: { name: 'Force of a side', window: AVERAGE, code: 'lib/statistics/side-statistics.ts' },
  tension: { name: 'Tension of a side, force factor typed', window: AVERAGE, code: 'lib/statistics/zone-figures.ts' },
  geometryTension: {
    name: 'Tension of a side, with geometry',
    window: AVERAGE,
    code: 'lib/statistics/tension-scale.ts',
  },
  totalForce: { name: 'Sum of both sides', window: AVERAGE, code: 'lib/statistics/zone-figures.ts' },
  totalTension: { name: 'Web tension, force factor typed', window: AVERAGE, code: 'lib/statistics/zone-figures.ts' },
  geometryTotal: { name: 'Web tension, with geometry', window: AVERAGE, code: 'lib/statistics/zone-figures.ts' },
  expectedForce: { name: 'Expected, of a side', window: AVERAGE, code: 'lib/geometry/expected.ts' },
  expectedTotal: { name: 'Expected, web tension', window: AVERAGE, code: 'lib/zone/expectation.ts' },
  agreement: { name: 'Agreement', window: AVERAGE, code: 'lib/verdicts/agreement.ts' },
  imbalance: { name: 'Side difference', window: AVERAGE, code: 'lib/statistics/side-difference.ts' },
  lineOfPull: { name: 'Line of pull', window: AVERAGE, code: 'lib/statistics/zone-figures.ts' },
  noise: {
    name: 'Noise of a side',
    window: 'average_s, cut into blocks of noise_block_s, 2 s as it comes',
    code: 'lib/statistics/noise-blocks.ts',
  },
  peakToPeak: { name: 'Peak to peak', window: AVERAGE, code: 'lib/statistics/noise-blocks.ts' },
  driftOfResidual: {
    name: 'Drift of the agreement',
    window: DRIFT,
    code: 'lib/statistics/residual-track.ts',
  },
  driftOfSideDifference: {
    name: 'Drift of the side difference',
    window: DRIFT,
    code: 'lib/statistics/rate-estimate.ts',
  },
  rateOfTotal: { name: 'Rate of the total', window: DRIFT, code: 'lib/statistics/rate-estimate.ts' },
  skew: { name: 'Time between the sides', window: 'the newest pair of samples', code: 'lib/statistics/side-skew.ts' },
}

const STEADY = 'the steady minutes of the shift, 30 at least'

export const DRIFT_ROWS: Readonly<Record<keyof typeof DRIFT_FORMULAS, FigureRow>> = {
  agreement: { name: 'Drift of the agreement', window: STEADY, code: 'lib/drift/tracked.ts' },
  sideDifference: { name: 'Drift of the side difference', window: STEADY, code: 'lib/drift/tracked.ts' },
  zero: {
    name: 'Drift of a zero',
    window: 'minutes with the web slack or off, 10 at least',
    code: 'lib/drift/zero-drifts.ts',
  },
  spanOfTensions: {
    name: 'Drift of the span, from two tensions',
    window: STEADY,
    code: 'lib/drift/span-drift.ts',
  },
  spanOfZero: { name: 'Drift of the span, by the zero', window: STEADY, code: 'lib/drift/span-figure.ts' },
}

const SERIES = 'the points of the series'

export const CALIBRATION_ROWS: Readonly<Record<keyof typeof CALIBRATION_FORMULAS, FigureRow>> = {
  gain: { name: 'Gain', window: SERIES, code: 'lib/calibration/gain.ts' },
  gainDifference: { name: 'Gain against the expected one', window: SERIES, code: 'lib/calibration/gain.ts' },
  zero: { name: 'Zero', window: SERIES, code: 'lib/calibration/line.ts' },
  nonlinearity: { name: 'Nonlinearity', window: SERIES, code: 'lib/calibration/nonlinearity.ts' },
  hysteresis: { name: 'Hysteresis', window: SERIES, code: 'lib/calibration/hysteresis.ts' },
  halfDifference: { name: 'Half of up less down', window: SERIES, code: 'lib/calibration/up-down.ts' },
  repeatability: { name: 'Repeatability', window: SERIES, code: 'lib/calibration/repeatability.ts' },
  zeroReturn: { name: 'Zero return', window: SERIES, code: 'lib/calibration/zero-return.ts' },
  bow: { name: 'Bow', window: SERIES, code: 'lib/calibration/line.ts' },
  creep5min: { name: 'Creep, 5 min', window: '30 to 300 s under a constant force', code: 'lib/calibration/creep.ts' },
  creep30min: { name: 'Creep, 30 min', window: '30 min under a constant force', code: 'lib/calibration/creep.ts' },
  creepLast: { name: 'Creep, 20 to 30 min', window: 'the last 10 of 30 min', code: 'lib/calibration/creep.ts' },
  sumMovement: {
    name: 'Movement of the sum',
    window: 'the positions of the rope',
    code: 'lib/calibration/off-centre.ts',
  },
  differenceSlope: {
    name: 'Slope of the difference',
    window: 'the positions of the rope',
    code: 'lib/calibration/off-centre.ts',
  },
  imbalanceSlope: {
    name: 'Slope of the side difference',
    window: 'the positions of the rope',
    code: 'lib/calibration/off-centre.ts',
  },
}
