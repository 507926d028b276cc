import type { CalibrationRequest, CalibrationResult } from '../../shared/schemas/compute-calibration.ts'
import type { FigureLimit } from '../../shared/schemas/now.ts'
import { gravityAt } from '../geometry/gravity.ts'
import type { Roller } from '../geometry/tangent.ts'
import { shortNumber } from '../statistics/words.ts'
import type { Uncertain } from '../uncertainty/uncertain.ts'
import { expand } from '../verdicts/judge.ts'
import { type Calibration, calibrate } from './calibrate.ts'
import { creep } from './creep.ts'
import { type CalibrationOutcome, calibrationFigure } from './figure.ts'
import { CALIBRATION_FORMULAS } from './formulas.ts'
import { type ForceContribution, forcePerKilogram } from './known-force.ts'
import { type CalibrationLimits, DEFAULT_CALIBRATION_LIMITS } from './limits.ts'
import { type OffCentreCheck, offCentreCheck } from './off-centre.ts'
import { permittedCreep } from './oiml-r60.ts'
import { inverse } from './prediction.ts'
import { ropeFactor, ropeWrap } from './rope.ts'

type Loads = CalibrationRequest['loads']
type Mass = Extract<Loads, { kind: 'mass' }>

/**
 * A calibration as posted: loads to forces, the line and every figure, predictions, off-centre check and creep.
 * Throws ImpossiblePath when the rollers of the rope make no path, and RangeError for a force factor of 0.
 */
export function computeCalibration(request: CalibrationRequest): CalibrationResult {
  const { newtons, contributions } = forcePerLoad(request.loads)
  const limits = limitsOf(request)
  const calibration = calibrate(
    request.readings.map(({ load, u, ...reading }) => ({
      ...reading,
      force: load * newtons,
      ...(u === undefined ? {} : { u }),
    })),
    {
      unit: request.unit,
      forceScale: contributions,
      resolution: request.resolution,
      spanN: request.spanN ?? null,
      expectedGain: request.expectedGain ?? null,
      limits,
    },
  )
  const { line, ...figures } = calibration
  return {
    ...figures,
    rows: [...figures.rows],
    notes: [...figures.notes],
    line: line === null ? null : lineResult(line),
    forcePerLoad: { newtons, contributions: [...contributions] },
    predictions: request.predictAt.map(({ reading, u }) => prediction(calibration, contributions, reading, u)),
    offCentre: offCentre(request, limits),
    creep: creepResult(request, calibration, newtons),
    limits,
  }
}

function forcePerLoad(loads: Loads): { newtons: number; contributions: readonly ForceContribution[] } {
  if (loads.kind === 'mass')
    return forcePerKilogram({
      gravity: gravityOf(loads),
      factor: factorOf(loads.factor),
      share: loads.share,
      uMassRelative: loads.uMassPercent / 100,
      airShare: loads.airShare,
    })
  const relative = loads.uPercent / 100
  const common = { name: 'force scale', value: 100, unit: '%', u: loads.uPercent, relative }
  return { newtons: 1, contributions: [common] }
}

function gravityOf({ gravity }: Mass): Uncertain {
  return 'value' in gravity ? gravity : { value: gravityAt(gravity.latitude, gravity.height), u: gravity.u }
}

function factorOf(factor: Mass['factor']): Uncertain {
  if (factor.kind === 'given') return { value: factor.value, u: factor.u }
  const wrap =
    factor.kind === 'wrap'
      ? factor.wrap
      : ropeWrap(circle(factor.before), circle(factor.measuring), circle(factor.after), factor.ropeDiameter).angle
  return ropeFactor({ value: wrap, u: factor.uWrap }, { value: factor.offBisector, u: factor.uOffBisector })
}

const circle = ({ x, y, ...roller }: { name: string; x: number; y: number; radius: number; turn: 1 | -1 }): Roller => ({
  ...roller,
  centre: { x, y },
})

function limitsOf({ limits }: CalibrationRequest): CalibrationLimits {
  const given = Object.entries(limits).map(([name, half]): [string, FigureLimit] => [
    name,
    { target: 0, half, source: 'given in the request' },
  ])
  return { ...DEFAULT_CALIBRATION_LIMITS, ...Object.fromEntries(given) }
}

function lineResult({ zero, slope, random, fit, lackOfFit, bends }: NonNullable<Calibration['line']>) {
  return {
    zero,
    slope,
    uZero: random?.zero ?? null,
    uSlope: random?.slope ?? null,
    covariance: random?.covariance ?? null,
    dof: random !== undefined && Number.isFinite(random.dof) ? random.dof : null,
    residualSd: fit.residualSd ?? null,
    weighted: fit.weights.some((weight) => weight !== fit.weights[0]),
    lackOfFit:
      lackOfFit === undefined
        ? null
        : { f: lackOfFit.f, dofLack: lackOfFit.dofLack, dofPure: lackOfFit.dofPure, p: lackOfFit.p, bends },
  }
}

/** Force of a reading by the line turned round, the force scale's uncertainty included. */
function prediction(
  { line }: Calibration,
  contributions: readonly ForceContribution[],
  reading: number,
  uReading: number,
): CalibrationResult['predictions'][number] {
  if (line === null) return { reading, force: null, u: null, U: null }
  const { value, u } = inverse(line.fit, reading, uReading)
  if (u === undefined || line.random === undefined) return { reading, force: value, u: null, U: null }
  const told = expand({
    value,
    uRandom: u * Math.sqrt(line.random.inflation),
    dof: line.random.dof,
    systematic: contributions.map(({ name, relative }) => ({ name, contribution: relative * Math.abs(value) })),
  })
  return { reading, force: value, u: told.u, U: told.U }
}

function offCentre({ offCentre: given }: CalibrationRequest, limits: CalibrationLimits): OffCentreCheck | null {
  if (given === undefined) return null
  const readings = given.readings.map(({ u, ...reading }) => ({ ...reading, ...(u === undefined ? {} : { u }) }))
  return offCentreCheck({ ...given, readings }, limits)
}

function creepResult(
  { creep: hold }: CalibrationRequest,
  { line, spanN }: Calibration,
  newtons: number,
): CalibrationResult['creep'] {
  if (hold === undefined) return null
  const { u, cell, ...held } = hold
  const none: CalibrationOutcome = { kind: 'cannot', why: 'creep in % of span needs the calibration line' }
  const told =
    line === null || spanN === null
      ? { fiveMinutes: none, thirtyMinutes: none, lastTenMinutes: none }
      : creep({ ...held, ...(u === undefined ? {} : { u }) }, Math.abs(line.slope) * spanN)
  const limits = cell === undefined || spanN === null ? undefined : creepLimits(cell, newtons, spanN)
  const figure = (
    outcome: CalibrationOutcome,
    name: 'creep5min' | 'creep30min' | 'creepLast',
    limit: FigureLimit | undefined,
  ) =>
    calibrationFigure(outcome, {
      unit: '%',
      why: CALIBRATION_FORMULAS[name],
      limit: limit ?? null,
      repeats: { count: 1, words: ['hold', 'holds'] },
    })
  return {
    fiveMinutes: figure(told.fiveMinutes, 'creep5min', undefined),
    thirtyMinutes: figure(told.thirtyMinutes, 'creep30min', limits?.thirtyMinutes),
    lastTenMinutes: figure(told.lastTenMinutes, 'creepLast', limits?.lastTenMinutes),
  }
}

/** What OIML R 60 permits the cell under the weight that was held, in % of span. */
function creepLimits(
  { letter, intervals, capacityN, load }: NonNullable<NonNullable<CalibrationRequest['creep']>['cell']>,
  newtons: number,
  spanN: number,
): Record<'thirtyMinutes' | 'lastTenMinutes', FigureLimit> {
  const forceN = Math.abs(load * newtons)
  const permitted = permittedCreep({ letter, intervals }, forceN, capacityN)
  const source = `OIML R 60, class ${letter} of ${intervals} intervals, ${shortNumber(forceN)} N on a cell of ${shortNumber(capacityN)} N (quoted)`
  const limit = (newtonsOfCreep: number): FigureLimit => ({ target: 0, half: (100 * newtonsOfCreep) / spanN, source })
  return { thirtyMinutes: limit(permitted.thirtyMinutes), lastTenMinutes: limit(permitted.lastTenMinutes) }
}
