import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { steadyGate } from '../../app/_ui/steady-gate.ts'
import { typedNumber } from '../../app/_ui/typed-number.ts'
import {
  factorSource,
  factorValue,
  kilograms,
  offCentreFor,
  requestFor,
} from '../../app/set-up/_calibration/request.ts'
import {
  EMPTY_SESSION,
  type Session,
  session,
  type TypedFields,
  turnedRound,
  withHeld,
  withPlace,
  withPoint,
  withUse,
} from '../../app/set-up/_calibration/session.ts'
import { exampleGeometryView } from '../../gateway/http/config-examples.ts'
import { calibrationRequest } from '../../shared/schemas/compute-calibration.ts'
import type { CellFacts, GeometryView } from '../../shared/schemas/config-write.ts'

const taken = (cycle: number, direction: 'up' | 'down', mass: number) => ({
  cycle,
  direction,
  mass,
  massUnit: 'kg' as const,
  timeMs: 1000,
  readings: { single: { reading: 4 + mass / 10, u: 0.001, samples: 300, seconds: 6 } },
})
const sessionOf = (...points: ReturnType<typeof taken>[]): Session => points.reduce(withPoint, EMPTY_SESSION)

describe('the steps of a calibration', () => {
  it('lead up by typed weights, down by the same, and up again without typing', () => {
    expect(EMPTY_SESSION.next).toEqual({ cycle: 1, direction: 'up', mass: '0' })
    const up = sessionOf(taken(1, 'up', 0), taken(1, 'up', 5), taken(1, 'up', 10))
    expect(up.next).toEqual({ cycle: 1, direction: 'up', mass: '' })
    expect(turnedRound(up, 1)).toEqual({ cycle: 1, direction: 'down', mass: '10' })
    const down = [taken(1, 'down', 10), taken(1, 'down', 5)].reduce(withPoint, up)
    expect(down.next).toEqual({ cycle: 1, direction: 'down', mass: '0' })
    const second = withPoint(down, taken(1, 'down', 0))
    expect(second.next).toEqual({ cycle: 2, direction: 'up', mass: '0' })
    const again = [taken(2, 'up', 0), taken(2, 'up', 5), taken(2, 'up', 10)].reduce(withPoint, second)
    expect(again.next).toEqual({ cycle: 2, direction: 'down', mass: '10' })
  })

  it('keep a point that is retaken, and use one of the two', () => {
    const twice = sessionOf(taken(1, 'up', 0), taken(1, 'up', 5), taken(1, 'up', 5))
    expect(twice.points.map(({ id, used }) => [id, used])).toEqual([
      [1, true],
      [2, false],
      [3, true],
    ])
    expect(withUse(twice, 2, true).points.map(({ used }) => used)).toEqual([true, true, false])
    expect(withUse(twice, 3, false).points.map(({ used }) => used)).toEqual([true, false, false])
  })

  it('are what the browser gets back', () => {
    const kept = sessionOf(taken(1, 'up', 0), taken(1, 'up', 5))
    expect(session.parse(JSON.parse(JSON.stringify(kept)))).toEqual(kept)
  })
})

describe('the request made of it', () => {
  const typed: TypedFields = { ...EMPTY_SESSION.typed, factorFrom: 'typed', factor: '1.2' }

  it('takes the force factor from the zone’s geometry until told otherwise, and a typed one where there is none', () => {
    expect(factorSource(EMPTY_SESSION.typed, exampleGeometryView)).toBe('geometry')
    expect(factorSource(EMPTY_SESSION.typed, { ...exampleGeometryView, geometry: null })).toBe('typed')
    expect(factorSource(typed, exampleGeometryView)).toBe('typed')
  })

  it('is one the gateway takes, with what is used and nothing else', () => {
    const now = { ...sessionOf(taken(1, 'up', 0), taken(1, 'up', 5), taken(1, 'up', 5)), typed }
    const prepared = requestFor(now, 'single', exampleGeometryView)
    if (!prepared.ok) throw new Error(prepared.missing)
    expect(calibrationRequest.parse(prepared.request).readings.map(({ load }) => load)).toEqual([0, 5])
    expect(prepared.request.loads).toMatchObject({
      factor: { kind: 'given', value: 1.2, u: 0.012 },
      share: { value: 1, u: 0 },
    })
    expect(prepared.request.expectedGain).toBeUndefined()
  })

  it('says what is missing instead of guessing it', () => {
    const now = sessionOf(taken(1, 'up', 0))
    expect(requestFor(now, 'single', { ...exampleGeometryView, geometry: null })).toMatchObject({
      missing: 'force factor of the rope: not typed yet',
    })
    expect(requestFor(EMPTY_SESSION, 'single', exampleGeometryView)).toMatchObject({
      missing: 'nothing is captured yet',
    })
    const heavy = { ...now, typed: { ...typed, gravity: '98' } }
    expect(
      requestFor({ ...heavy, typed: { ...heavy.typed, gravity: 'g' } }, 'single', exampleGeometryView),
    ).toMatchObject({
      missing: 'local gravity: not a number that fits',
    })
  })

  it('expects rated force over rise of the signal', () => {
    const now = { ...sessionOf(taken(1, 'up', 0)), typed: { ...typed, expectedForce: '500', expectedRise: '16' } }
    const prepared = requestFor(now, 'single', exampleGeometryView)
    // 500 N over 16 mA.
    expect(prepared.ok && prepared.request.expectedGain).toEqual({ value: 31.25, u: 31.25 * 0.0025 })
  })

  it('takes the factor of a rope from its wrap: 2 sin(θ/2) cos δ of statics, 1 at 60° and 2 at 180°', () => {
    const of = (wrapDeg: string, offDeg: string) =>
      factorValue({ ...typed, factorFrom: 'wrap', wrapDeg, offDeg }, 'single', exampleGeometryView)
    expect(of('60', '0')).toBeCloseTo(1, 12)
    expect(of('180', '0')).toBeCloseTo(2, 12)
    expect(of('180', '60')).toBeCloseTo(1, 12)
  })

  it('takes it from the rollers of the zone, the rope half its diameter outside each', () => {
    const of = (ropeMm: string) =>
      factorValue({ ...typed, factorFrom: 'geometry', ropeMm }, 'single', exampleGeometryView)
    // All three turned the same way, so a thicker rope is the same tangent moved outward: the wrap stays.
    expect(of('20')).toBeCloseTo(of('0'), 12)
    // By hand: centres 600 mm apart and 250 mm down, radii 80 and 60: the span falls by
    // atan(250/600) + asin(20/650) = 22.6199° + 1.7632° on either side; arrow straight down on the bisector.
    const fall = Math.atan(250 / 600) + Math.asin(20 / 650)
    expect(of('0')).toBeCloseTo(2 * Math.sin(fall), 9)
  })

  it('weighs a pound as 0.45359237 kg', () => {
    expect(kilograms(10, 'lb')).toBeCloseTo(4.5359237, 12)
  })
})

const PAIR: GeometryView = {
  ...exampleGeometryView,
  zone: {
    ...exampleGeometryView.zone,
    cellDistanceM: 1.6,
    cells: Object.fromEntries(
      ['drive_side', 'operator_side'].map((side) => [
        side,
        { ...(Object.values(exampleGeometryView.zone.cells)[0] as CellFacts), capacityN: 500, step: 0.001 },
      ]),
    ),
  },
}
const still = (reading: number) => ({ reading, u: 0.0004, samples: 300, seconds: 6 })
const both = (drive: number, operator: number) => ({ drive_side: still(drive), operator_side: still(operator) })
const typedPair: TypedFields = { ...EMPTY_SESSION.typed, factorFrom: 'typed', factor: '1.2', offMass: '10' }

describe('the off-centre check', () => {
  const weights = withPoint({ ...EMPTY_SESSION, typed: typedPair }, { ...taken(1, 'up', 0), readings: both(4.1, 3.9) })
  const place = (placeMm: number, drive: number, operator: number) => ({
    placeMm,
    mass: 10,
    timeMs: 1000,
    readings: both(drive, operator),
  })
  const lines = {
    drive_side: { zero: 4.1, slope: 1 / 32, uSlope: 3e-5 },
    operator_side: { zero: 3.9, slope: 1 / 30, uSlope: null },
  }
  const asked = (now: Session, found: Parameters<typeof offCentreFor>[3] = lines) =>
    offCentreFor(now, PAIR, requestFor(now, 'drive_side', PAIR), found)

  it('turns readings into forces by the lines that were found, and the weight into k·m·g of both sides', () => {
    const now = [place(0, 5.9385, 5.8611), place(300, 5.2491, 6.5965)].reduce(withPlace, weights)
    const prepared = asked(now)
    if (!prepared.ok) throw new Error(prepared.missing)
    const { offCentre } = calibrationRequest.parse(prepared.request)
    // By hand: 1.2 × 10 kg × 9.80665 m/s² × (1 − 1.5e-4) = 117.662 N; 32 N/mA × (5.9385 − 4.1) mA = 58.83 N.
    expect(offCentre?.force.value).toBeCloseTo(117.662, 2)
    expect(offCentre?.readings[0]).toMatchObject({
      position: 0,
      driveSideN: expect.closeTo(58.832, 3),
      operatorSideN: expect.closeTo(58.833, 3),
    })
    // 0.05 % of the mass and half of 32 × 3e-5; force factor and gravity are in the lines as well and cancel.
    expect((offCentre?.force.u ?? 0) / 117.662).toBeCloseTo(Math.hypot(0.0005, 0.00048), 6)
    expect(offCentre).toMatchObject({ cellDistance: { value: 1.6, u: 0.002 }, uPosition: 0.002 })
    // One step of 1 µA over √12 beside the scatter: 32 N/mA × 0.493 µA.
    expect(offCentre?.readings[0]?.u).toBeCloseTo(0.032 * Math.hypot(0.4, 1 / Math.sqrt(12)), 6)
  })

  it('keeps a place that is taken again, and says what is missing instead of guessing it', () => {
    const twice = [place(0, 5, 5), place(300, 5, 6), place(0, 5.1, 5.1)].reduce(withPlace, weights)
    expect(twice.offCentre.map(({ used }) => used)).toEqual([false, true, true])
    expect(asked(weights)).toMatchObject({ missing: 'nothing is captured yet' })
    expect(asked(twice, { drive_side: lines.drive_side })).toMatchObject({ missing: expect.stringContaining('lines') })
    const other = withPlace(twice, { ...place(-300, 6, 5), mass: 20 })
    expect(asked(other)).toMatchObject({ missing: 'the same weight at every place in use' })
  })
})

describe('a hold', () => {
  const begun: Session = {
    ...withPoint({ ...EMPTY_SESSION, typed: typedPair }, { ...taken(1, 'up', 0), readings: both(4, 4) }),
    hold: { mass: 20, startMs: 1_000_000, endMs: null, readings: [] },
  }
  const readAt = (seconds: number, drive = 7) => ({ timeMs: 1_000_000 + 1000 * seconds, readings: both(drive, 7) })

  it('takes readings in their order until 30 minutes are told, and none after', () => {
    const held = [readAt(4), readAt(30), readAt(29), readAt(1801), readAt(1806), readAt(1900)].reduce(withHeld, begun)
    expect(held.hold?.readings.map(({ timeMs }) => timeMs / 1000 - 1000)).toEqual([4, 30, 1801, 1806])
    expect(held.hold?.endMs).toBe(2_806_000)
    expect(withHeld({ ...begun, hold: null }, readAt(4)).hold).toBeNull()
  })

  it('takes no reading of no side: it has no time, and what is kept with it could not be read again', () => {
    const held = [readAt(4), { timeMs: Number.NaN, readings: {} }, { timeMs: 1_030_000, readings: {} }].reduce(
      withHeld,
      begun,
    )
    expect(held).toEqual(withHeld(begun, readAt(4)))
    expect(session.parse(JSON.parse(JSON.stringify(held)))).toEqual(held)
  })

  it('is asked by its seconds, with the class on the certificate or with none', () => {
    const now = [readAt(4), readAt(30, 7.001)].reduce(withHeld, begun)
    const of = (session: Session) => {
      const prepared = requestFor(session, 'drive_side', PAIR)
      if (!prepared.ok) throw new Error(prepared.missing)
      return calibrationRequest.parse(prepared.request).creep
    }
    expect(of(now)).toEqual({
      seconds: [4, 30],
      readings: [7, 7.001],
      u: expect.closeTo(Math.hypot(0.0004, 0.001 / Math.sqrt(12)), 9),
      cell: { letter: 'C', intervals: 1000, capacityN: 500, load: 20 },
    })
    expect(of({ ...now, typed: { ...typedPair, cellClass: 'none' } })?.cell).toBeUndefined()
    expect(of(begun)).toBeUndefined()
  })

  it('and the check survive a reload; what an older page kept is still read', () => {
    const now = withHeld(begun, readAt(4))
    expect(session.parse(JSON.parse(JSON.stringify(now)))).toEqual(now)
    const { offCentre: _, hold: __, typed, ...old } = begun
    const { offMass: _a, offPlaceMm: _b, uPlaceMm: _c, uDistanceMm: _d, holdMass: _e, cellClass: _f, ...before } = typed
    expect(session.parse({ ...old, typed: before })).toMatchObject({ offCentre: [], hold: null, points: begun.points })
  })
})

describe('steadyGate', () => {
  const times = Array.from({ length: 301 }, (_, i) => 1_760_000_000_000 + i * 20)
  const noise = (seed: number) => {
    let state = seed
    const uniform = () => {
      state = (state * 1_664_525 + 1_013_904_223) % 4_294_967_296
      return state / 4_294_967_296
    }
    return times.map(() => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform()))
  }

  it('waits until the window is full, in time and in number', () => {
    expect(steadyGate(times.slice(0, 100), noise(1).slice(0, 100), 0)).toMatchObject({ kind: 'filling' })
    expect(steadyGate([0, 6000], [4, 4], 0)).toMatchObject({ kind: 'filling', share: 2 / 30 })
    expect(steadyGate([], [], 0)).toEqual({ kind: 'filling', share: 0 })
  })

  it('takes a still reading, its mean and a u that is about σ/√n', () => {
    const us = Array.from({ length: 50 }, (_, seed) => {
      const outcome = steadyGate(
        times,
        noise(seed + 1).map((e) => 4 + 0.01 * e),
        0,
      )
      return outcome.kind === 'steady' ? outcome.result.u : null
    }).filter((u) => u !== null)
    expect(us.length).toBeGreaterThan(45)
    const typical = us.sort((a, b) => a - b)[Math.floor(us.length / 2)] ?? 0
    expect(typical).toBeGreaterThan(0.5 * (0.01 / Math.sqrt(301)))
    expect(typical).toBeLessThan(3 * (0.01 / Math.sqrt(301)))
  })

  it('does not take one that creeps by more than its noise, however slowly it began', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e6 }), fc.double({ min: 2, max: 100, noNaN: true }), (seed, sigmas) => {
        const y = noise(seed).map((e, i) => 4 + 0.01 * (e + (sigmas * i) / 300))
        expect(steadyGate(times, y, 0).kind).toBe('moving')
      }),
      { numRuns: 60 },
    )
  })

  it('does not take a window that begins before the weight hung: a few samples at the old load', () => {
    for (const late of [1, 2, 5, 10]) {
      const y = noise(7).map((e, i) => (i < late ? 4 : 6.2) + 0.002 * e)
      expect(steadyGate(times, y, 0.001).kind, `${late} samples`).toBe('moving')
    }
  })

  it('takes what stands on one step of its signal, and what goes to and fro between two', () => {
    expect(
      steadyGate(
        times,
        times.map(() => 4.1),
        0.001,
      ),
    ).toMatchObject({ kind: 'steady', result: { reading: 4.1, u: 0 } })
    const toAndFro = times.map((_, i) => 4.1 + 0.001 * (i % 2))
    expect(steadyGate(times, toAndFro, 0.001).kind).toBe('steady')
  })
})

describe('typedNumber', () => {
  it('takes a comma and a true minus as meant, and nothing else for a number', () => {
    expect(['1.5', ' 1,5 ', '−2', '.5', '5.', '1e-3'].map(typedNumber)).toEqual([1.5, 1.5, -2, 0.5, 5, 0.001])
    expect(['', ' ', '1.2.3', '5 kg', '0x10', 'Infinity', 'NaN', '1,000.5', '-'].map(typedNumber)).toEqual(
      Array(9).fill(null),
    )
  })
})
