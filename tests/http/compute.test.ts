import fc from 'fast-check'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import {
  exampleCalibration,
  exampleDiagnosis,
  exampleGeometry,
  exampleStatistics,
} from '../../gateway/http/compute-examples.ts'
import { computeCalibration } from '../../lib/calibration/compute.ts'
import { diagnose } from '../../lib/diagnosis/diagnose.ts'
import { computeGeometry } from '../../lib/geometry/compute.ts'
import { computeStatistics } from '../../lib/verdicts/computed-series.ts'
import { calibrationRequest, calibrationResult } from '../../shared/schemas/compute-calibration.ts'
import { geometryRequest, geometryResult } from '../../shared/schemas/compute-geometry.ts'
import { statisticsRequest, statisticsResult } from '../../shared/schemas/compute-statistics.ts'
import { diagnosisRequest } from '../../shared/schemas/diagnosis.ts'
import { errorBody } from '../../shared/schemas/health.ts'
import { ask, type Reply, type Served, serve } from './support/served.ts'

let served: Served
beforeAll(async () => {
  served = await serve()
})
afterAll(() => served.close())

const ROUTES = ['geometry', 'calibration', 'statistics', 'diagnosis'] as const
type Name = (typeof ROUTES)[number]
const EXAMPLES: Readonly<Record<Name, object>> = {
  geometry: exampleGeometry,
  calibration: exampleCalibration,
  statistics: exampleStatistics,
  diagnosis: exampleDiagnosis,
}

function post(name: Name, body: string, headers: Record<string, string> = {}): Promise<Reply> {
  served.nowMs += 1000
  return ask(served.port, `/api/compute/${name}`, {
    method: 'POST',
    body,
    headers: { 'content-type': 'application/json', 'content-length': String(Buffer.byteLength(body)), ...headers },
  })
}
const postJson = (name: Name, value: unknown) => post(name, JSON.stringify(value))

function expectRefusal(reply: Reply, status: number, code: string, words = ''): void {
  expect(reply.status, reply.text.slice(0, 300)).toBe(status)
  const body = errorBody.parse(JSON.parse(reply.text))
  expect(body.code).toBe(code)
  expect(body.remedy).not.toBe('')
  expect(body.message).toContain(words)
}

describe('what is posted is answered by the lib itself', () => {
  const asJson = (value: unknown) => JSON.parse(JSON.stringify(value))

  it('geometry', async () => {
    const direct = computeGeometry(geometryRequest.parse(exampleGeometry))
    expect(JSON.parse((await postJson('geometry', exampleGeometry)).text)).toEqual(asJson(direct))
  })
  it('calibration', async () => {
    const direct = computeCalibration(calibrationRequest.parse(exampleCalibration))
    expect(JSON.parse((await postJson('calibration', exampleCalibration)).text)).toEqual(asJson(direct))
  })
  it('statistics', async () => {
    const direct = computeStatistics(statisticsRequest.parse(exampleStatistics))
    expect(JSON.parse((await postJson('statistics', exampleStatistics)).text)).toEqual(asJson(direct))
  })
  it('diagnosis', async () => {
    const direct = diagnose(diagnosisRequest.parse(exampleDiagnosis))
    expect(JSON.parse((await postJson('diagnosis', exampleDiagnosis)).text)).toEqual(asJson(direct))
    expect(direct.causes[0]).toMatchObject({ cause: 'arrows-differ', side: 'operator_side' })
  })
  it('a page of our own and a program without Origin are both served', async () => {
    const body = JSON.stringify(exampleStatistics)
    const own = { host: `127.0.0.1:${served.port}`, origin: `http://127.0.0.1:${served.port}` }
    expect((await post('statistics', body, own)).status).toBe(200)
    expect((await post('statistics', body)).status).toBe(200)
  })
})

describe.each(ROUTES)('a body of %s that is not as described is a clean refusal', (name) => {
  const good = JSON.stringify(EXAMPLES[name])

  it('what is not JSON, or not UTF-8, or nothing at all', async () => {
    for (const body of ['', '{', good.slice(0, -1), `${good}x`, 'NaN', '{"a":Infinity}', "{'a':1}", '\u0000', '[1,]'])
      expectRefusal(await post(name, body), 400, 'EVP_REQUEST_INVALID')
  })

  it('JSON of another shape', async () => {
    for (const value of [null, 0, 'text', [], {}, [EXAMPLES[name]], { ...EXAMPLES[name], unheardOf: 1 }])
      expectRefusal(await postJson(name, value), 400, 'EVP_REQUEST_INVALID')
  })

  it('a prototype, and nesting without end', async () => {
    expectRefusal(await post(name, `{"__proto__":{},${good.slice(1)}`), 400, 'EVP_REQUEST_INVALID')
    expectRefusal(await post(name, '['.repeat(50_000)), 400, 'EVP_REQUEST_INVALID')
    expectRefusal(await post(name, `${'['.repeat(5000)}${']'.repeat(5000)}`), 400, 'EVP_REQUEST_INVALID')
  })

  it('another content type, or a compressed body', async () => {
    expectRefusal(await post(name, good, { 'content-type': 'text/plain' }), 415, 'EVP_REQUEST_INVALID')
    expectRefusal(await post(name, good, { 'content-type': 'multipart/form-data' }), 415, 'EVP_REQUEST_INVALID')
    expectRefusal(await post(name, good, { 'content-encoding': 'gzip' }), 415, 'EVP_REQUEST_INVALID')
  })

  it('more than a mebibyte', async () => {
    const reply = await post(name, `${good}${' '.repeat(1024 * 1024)}`)
    expectRefusal(reply, 413, 'EVP_TOO_LARGE', '1048576')
  })

  it("a stranger's page", async () => {
    expectRefusal(await post(name, good, { origin: 'http://stranger.example' }), 403, 'EVP_ORIGIN_REFUSED')
    expectRefusal(await post(name, good, { origin: 'null' }), 403, 'EVP_ORIGIN_REFUSED')
    expectRefusal(await post(name, good, { 'sec-fetch-site': 'cross-site' }), 403, 'EVP_ORIGIN_REFUSED')
    expectRefusal(await post(name, good, { host: 'rebound.example' }), 403, 'EVP_ORIGIN_REFUSED')
  })

  it('another method, and more a second than it allows', async () => {
    const get = await ask(served.port, `/api/compute/${name}`)
    expectRefusal(get, 405, 'EVP_REQUEST_INVALID', 'POST')
    expect(get.headers.allow).toBe('POST')
    served.nowMs += 1000
    const headers = { 'content-type': 'application/json', 'content-length': '2' }
    const allowed = name === 'diagnosis' ? 3 : 10
    const many = Array.from({ length: allowed + 1 }, () =>
      ask(served.port, `/api/compute/${name}`, { method: 'POST', body: '{}', headers }),
    )
    const statuses = (await Promise.all(many)).map(({ status }) => status).sort()
    expect(statuses).toEqual([...Array(allowed).fill(400), 429])
  })
})

describe('what is wrong in the numbers is named', () => {
  const readings = exampleCalibration.readings
  it.each([
    ['calibration', { ...exampleCalibration, readings: [] }, 'readings'],
    ['calibration', { ...exampleCalibration, readings: [{ ...readings[0], reading: 1e300 }] }, 'readings.0.reading'],
    ['calibration', { ...exampleCalibration, readings: [{ ...readings[0], reading: null }] }, 'readings.0.reading'],
    ['calibration', { ...exampleCalibration, readings: [{ ...readings[0], load: -1 }] }, 'readings.0.load'],
    ['calibration', { ...exampleCalibration, expectedGain: { value: 0, u: 0 } }, 'expectedGain.value'],
    ['calibration', { ...exampleCalibration, limits: { gain: 0 } }, 'limits.gain'],
    ['calibration', { ...exampleCalibration, creep: { seconds: [2, 1], readings: [1, 2] } }, 'ascend'],
    ['calibration', { ...exampleCalibration, creep: { seconds: [1], readings: [1, 2] } }, 'one length'],
    ['statistics', { ...exampleStatistics, timesS: [...exampleStatistics.timesS].reverse() }, 'ascend'],
    ['statistics', { ...exampleStatistics, timesS: [1, 2, 3] }, 'one value a time'],
    ['statistics', { timesS: [0, 1e12], forces: { singleN: [1, 1] } }, 'noiseBlockS'],
    ['geometry', { ...exampleGeometry, geometry: { ...exampleGeometry.geometry, cellDistance: null } }, 'distance'],
    ['geometry', { ...exampleGeometry, state: { tension: '180' } }, 'state.tension'],
    ['geometry', { ...exampleGeometry, uncertainties: { colour: { u: 1 } } }, 'uncertainties'],
  ] as const)('%s %#', async (name, body, words) => {
    expectRefusal(await postJson(name, body), 400, 'EVP_REQUEST_INVALID', words)
  })

  it('rollers of the rope that make no path are named', async () => {
    const at = (label: string, x: number) => ({ name: label, x, y: 0, radius: 0.1, turn: 1 })
    const factor = {
      kind: 'rollers',
      before: at('a', 0),
      measuring: at('b', 0.05),
      after: at('c', 1),
      ropeDiameter: 0.01,
      uWrap: 0,
    }
    const body = { ...exampleCalibration, loads: { ...exampleCalibration.loads, factor } }
    expectRefusal(await postJson('calibration', body), 400, 'EVP_REQUEST_INVALID', 'overlap')
  })

  it('a web path that cannot be is an answer, not an error', async () => {
    const { path } = exampleGeometry.geometry
    const measuring = { ...path.measuring, centre: path.before[0]?.centre }
    const geometry = { ...exampleGeometry.geometry, path: { ...path, measuring } }
    const reply = await postJson('geometry', { ...exampleGeometry, geometry })
    expect(reply.status).toBe(200)
    const result = geometryResult.parse(JSON.parse(reply.text))
    expect(result).toMatchObject({ possible: false, fault: { kind: 'rollers-overlap' } })
  })
})

describe('whatever fits the schema is answered by the schema, or refused; never a fault', () => {
  const number = fc.oneof(
    fc.double({ min: -1e12, max: 1e12, noNaN: true }),
    fc.constantFrom(0, 1, -1, 1e12, -1e12, 1e-12, 100),
  )
  const size = fc.oneof(fc.double({ min: 0, max: 1e12, noNaN: true }), fc.constantFrom(0, 1e-12, 1e12))

  /** Bodies answered with figures: most must be, or nothing was tried. */
  let told = 0
  beforeEach(() => {
    told = 0
  })
  afterEach(() => expect(told).toBeGreaterThan(75))
  async function answered(name: Name, body: unknown, schema: { parse(value: unknown): unknown }): Promise<void> {
    const reply = await postJson(name, body)
    expect([200, 400], reply.text.slice(0, 300)).toContain(reply.status)
    if (reply.status === 200) {
      schema.parse(JSON.parse(reply.text))
      told += 1
    } else expectRefusal(reply, 400, 'EVP_REQUEST_INVALID')
  }

  it('calibrations', async () => {
    const reading = fc.record({
      cycle: fc.integer({ min: 1, max: 3 }),
      direction: fc.constantFrom('up', 'down'),
      load: fc.oneof(size, fc.constantFrom(0, 10, 20)),
      reading: number,
    })
    await fc.assert(
      fc.asyncProperty(fc.array(reading, { minLength: 1, maxLength: 8 }), size, async (readings, uPercent) => {
        const body = { unit: 'mA', loads: { kind: 'force', uPercent }, readings, predictAt: [{ reading: 5 }] }
        await answered('calibration', body, calibrationResult)
      }),
      { numRuns: 150 },
    )
  })

  it('statistics', async () => {
    const sample = fc.tuple(fc.double({ min: 1e-3, max: 1e3, noNaN: true }), fc.option(number), fc.option(number))
    await fc.assert(
      fc.asyncProperty(fc.array(sample, { minLength: 1, maxLength: 60 }), async (samples) => {
        let timeS = 0
        const timesS = samples.map(([step]) => {
          timeS += step
          return timeS
        })
        const forces = { driveSideN: samples.map((s) => s[1]), operatorSideN: samples.map((s) => s[2]) }
        await answered('statistics', { timesS, forces }, statisticsResult)
      }),
      { numRuns: 150 },
    )
  })

  it('geometries', async () => {
    await fc.assert(
      fc.asyncProperty(number, number, size, size, size, async (x, y, radius, tension, speed) => {
        const { path } = exampleGeometry.geometry
        const measuring = { ...path.measuring, centre: { x, y }, radius: Math.max(radius, 1e-12) }
        const geometry = { ...exampleGeometry.geometry, path: { ...path, measuring } }
        await answered('geometry', { geometry, state: { tension, speed } }, geometryResult)
      }),
      { numRuns: 150 },
    )
  })
})
