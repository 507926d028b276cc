import type { CalibrationRequestInput } from '../../shared/schemas/compute-calibration.ts'
import type { GeometryRequestInput } from '../../shared/schemas/compute-geometry.ts'
import type { StatisticsRequestInput } from '../../shared/schemas/compute-statistics.ts'

import type { DiagnosisRequestInput } from '../../shared/schemas/diagnosis.ts'

/** Example requests of the compute routes, of the same invented line; the example answers are computed from them. */

/** 5 to 20 kg up and down three times on a cell of 4 to 20 mA; mA by mass, up then down. */
const CYCLES = [
  { up: [4.004, 4.494, 4.984, 5.476, 5.966], down: [5.967, 5.48, 4.988, 4.497, 4.005] },
  { up: [4.005, 4.493, 4.985, 5.475, 5.966], down: [5.968, 5.479, 4.989, 4.498, 4.004] },
  { up: [4.004, 4.495, 4.984, 5.476, 5.967], down: [5.967, 5.478, 4.988, 4.497, 4.005] },
] as const
const MASSES = [0, 5, 10, 15, 20] as const

export const exampleCalibration: CalibrationRequestInput = {
  unit: 'mA',
  loads: {
    kind: 'mass',
    gravity: { latitude: 0.87, height: 120 },
    factor: { kind: 'wrap', wrap: 1.32, uWrap: 0.01 },
    share: { value: 0.5, u: 0.002 },
    uMassPercent: 0.02,
  },
  readings: CYCLES.flatMap(({ up, down }, cycle) => [
    ...up.map((reading, i) => ({ cycle: cycle + 1, direction: 'up' as const, load: MASSES[i] ?? 0, reading })),
    ...down.map((reading, i) => ({
      cycle: cycle + 1,
      direction: 'down' as const,
      load: MASSES[MASSES.length - 1 - i] ?? 0,
      reading,
    })),
  ]),
  resolution: 0.001,
  expectedGain: { value: 61.2, u: 0.15 },
  predictAt: [{ reading: 5.2, u: 0.002 }],
  offCentre: {
    readings: [
      { position: -0.4, driveSideN: 90.3, operatorSideN: 29.9, u: 0.1 },
      { position: 0.4, driveSideN: 30.1, operatorSideN: 90.2, u: 0.1 },
    ],
    force: { value: 120.2, u: 0.4 },
    cellDistance: { value: 1.6, u: 0.002 },
  },
}

/** 60 s at 5 samples a second. A sum of sines stands in for noise, so that the example is the same everywhere. */
const TIMES_S = Array.from({ length: 300 }, (_, i) => i / 5)
const ripple = (t: number, phase: number) =>
  0.3 * Math.sin(11.3 * t + phase) + 0.2 * Math.sin(7.7 * t * t + 2 * phase) + 0.1 * Math.sin(0.6 * t + phase)
const toMilli = (x: number) => Math.round(1000 * x) / 1000

export const exampleStatistics: StatisticsRequestInput = {
  timesS: TIMES_S,
  forces: {
    driveSideN: TIMES_S.map((t) => toMilli(98 + ripple(t, 0.4))),
    operatorSideN: TIMES_S.map((t, i) => (i === 17 ? null : toMilli(103 + ripple(t, 1.9)))),
  },
  cell: { stepN: 0.05 },
  cellDistanceM: 1.6,
}

const cell = (arrow: number) => ({
  arrow,
  capacity: 500,
  chain: { kind: '4-20mA' as const, fullScaleForce: 500 },
})

export const exampleGeometry: GeometryRequestInput = {
  geometry: {
    path: {
      before: [{ name: 'guide roller', centre: { x: -0.6, y: -0.3 }, radius: 0.06, turn: 1 }],
      measuring: { name: 'measuring roller', centre: { x: 0, y: 0 }, radius: 0.075, turn: -1 },
      after: [{ name: 'pull roller', centre: { x: 0.4, y: -0.5 }, radius: 0.075, turn: 1 }],
    },
    roller: { mass: 14 },
    cells: { drive_side: cell(-1.78), operator_side: cell(-1.8) },
    cellDistance: 1.6,
    web: { width: 1.2, basisWeight: 0.06 },
    load: { smallest: 60, normal: 180, largest: 250, fastestSpeed: 5 },
  },
  state: { tension: 180, speed: 4 },
}

/**
 * A verification in which nobody read the inclinometer: the roller's weight shows on the operator side's arrow as at 12°
 * off its target (40° from vertical), and the sides differ by the tan² 6° that such an arrow makes.
 */
export const exampleDiagnosis: DiagnosisRequestInput = {
  features: [
    { id: 'gravity-error', side: 'drive_side', value: 0.2, u: 0.8, source: 'electric.gravity', limit: '±2 % of span' },
    {
      id: 'gravity-error',
      side: 'operator_side',
      value: 11.7,
      u: 0.8,
      source: 'electric.gravity',
      limit: '±2 % of span',
    },
    { id: 'slope-difference', side: null, value: -1.1, u: 0.5, source: 'running.points' },
    { id: 'slope-common', side: null, value: -1.1, u: 1.2, source: 'running.points' },
    { id: 'weight-difference', side: null, value: -1.1, u: 0.4, source: 'known-weight.series' },
  ],
  context: {
    sides: ['drive_side', 'operator_side'],
    arrowTargetDeg: 230,
    wrapDeg: 90,
    momentumPercent: 10,
    weightN: 300,
    spanN: 400,
    usualPercentOfSpan: 50,
  },
}
