import { describe, expect, it } from 'vitest'
import { exampleCalibration } from '../../gateway/http/compute-examples.ts'
import { computeCalibration } from '../../lib/calibration/compute.ts'
import { type CalibrationRequestInput, calibrationRequest } from '../../shared/schemas/compute-calibration.ts'
import { madeSeries } from './made-series.ts'

const compute = (request: CalibrationRequestInput) => computeCalibration(calibrationRequest.parse(request))

const asLoads = (readings: ReturnType<typeof madeSeries>) =>
  readings.map(({ force, ...rest }) => ({ ...rest, load: force }))
const plain: CalibrationRequestInput = {
  unit: 'mA',
  loads: { kind: 'force' },
  readings: asLoads(
    madeSeries({ zero: 4, slope: 0.02, error: (f, c) => 1e-3 * Math.sin(f + c) }, [0, 100, 200, 300, 400], 3),
  ),
}

describe('a posted calibration', () => {
  it('masses become forces by local g, force factor, share and buoyancy', () => {
    const told = compute(exampleCalibration)
    // By hand: g by latitude 0.87 rad and 120 m; k = 2 sin(0.66); half of it on this cell; air 1.5e-4.
    const s2 = Math.sin(0.87) ** 2
    const g = (9.7803253359 * (1 + 0.00193185265241 * s2)) / Math.sqrt(1 - 0.00669437999013 * s2) - 3.086e-6 * 120
    expect(told.forcePerLoad.newtons).toBeCloseTo(0.5 * 2 * Math.sin(0.66) * g * 0.99985, 6)
    expect(told.spanN).toBeCloseTo(20 * told.forcePerLoad.newtons, 9)
  })

  it('a reading becomes a force with the uncertainty of line, reading and force scale', () => {
    const bare = compute({ ...plain, predictAt: [{ reading: 8 }] }).predictions[0]
    const whole = compute({
      ...plain,
      loads: { kind: 'force', uPercent: 1 },
      predictAt: [{ reading: 8, u: 0.01 }],
    }).predictions[0]
    expect(bare?.force).toBeCloseTo(200, 0)
    // 0.01 mA is 0.5 N; 1 % of 200 N is 2 N; the line itself adds `bare`.
    expect(whole?.u).toBeCloseTo(Math.hypot(bare?.u ?? 0, 0.5, 0.01 * (whole?.force ?? 0)), 3)
  })

  it('a limit of the request is used, and named as such', () => {
    const told = compute({ ...plain, limits: { nonlinearity: 0.001 } })
    expect(told.nonlinearity.limit).toEqual({ target: 0, half: 0.001, source: 'given in the request' })
    expect(told.nonlinearity.verdict.state).not.toBe('inside')
    expect(told.hysteresis.limit?.source).toBe('common practice, no source')
  })

  it('creep is told in % of the span of the same line; without a line it is not', () => {
    const creep = { seconds: [0, 30, 300], readings: [12, 12, 12.004], u: 0.0005 }
    expect(compute({ ...plain, creep }).creep?.fiveMinutes.value).toBeCloseTo((100 * 0.004) / 8, 3)
    const oneForce = compute({ ...plain, readings: plain.readings.slice(0, 1), creep })
    expect(oneForce.creep?.fiveMinutes.value).toBeNull()
    expect(oneForce.line).toBeNull()
    expect(oneForce.notes).toHaveLength(1)
  })

  it('creep is held to OIML R 60 where a class is named, in % of span, and told for information where none is', () => {
    const seconds = Array.from({ length: 181 }, (_, i) => 10 * i)
    // 1 µA of creep in half an hour under the heaviest weight.
    const hold = { seconds, readings: seconds.map((s) => 12 + (0.001 * s) / 1800), u: 1e-5 }
    const heaviest = Math.max(...plain.readings.map(({ load }) => load))
    const none = compute({ ...plain, creep: hold }).creep
    expect(none?.thirtyMinutes).toMatchObject({ limit: null, verdict: { state: 'not-done' } })
    const told = compute({
      ...plain,
      creep: { ...hold, cell: { letter: 'C', intervals: 3000, capacityN: heaviest, load: heaviest } },
    })
    // C3 at its full load: 0.735 v of 3000 within 30 min, 0.1575 v from 20 to 30 min (V2).
    expect(told.creep?.thirtyMinutes.limit?.half).toBeCloseTo((100 * 0.735) / 3000, 9)
    expect(told.creep?.lastTenMinutes.limit?.half).toBeCloseTo((100 * 0.1575) / 3000, 9)
    expect(told.creep?.thirtyMinutes.limit?.source).toContain('OIML R 60, class C of 3000 intervals')
    expect(told.creep?.thirtyMinutes.verdict.state).toBe('inside')
    expect(told.creep?.fiveMinutes.limit).toBeNull()
  })

  it('given uncertainties that differ make a weighted line', () => {
    const readings = plain.readings.map((r, i) => ({ ...r, u: 0.001 * (1 + (i % 3)) }))
    expect(compute({ ...plain, readings }).line?.weighted).toBe(true)
    expect(compute(plain).line?.dof).toBeGreaterThan(0)
  })
})
