import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type Calibration, calibrate } from '../../lib/calibration/calibrate.ts'
import { type CalibrationReading, levelsOf } from '../../lib/calibration/series.ts'
import { halfDifferences } from '../../lib/calibration/up-down.ts'
import type { ComputedFigure } from '../../shared/schemas/computed-figure.ts'
import { type MadeCell, madeSeries, PLAIN } from './made-series.ts'

const FORCES = [0, 100, 200, 300, 400]
const CELL: MadeCell = { zero: 4, slope: 0.02 }
const of = (cell: Partial<MadeCell>, cycles = 3, forces = FORCES): Calibration =>
  calibrate(madeSeries({ ...CELL, ...cell }, forces, cycles), PLAIN)

/** The highest weight lifted and let down again: read on the way down too. */
const topDown = (cell: MadeCell, cycles: number): CalibrationReading[] =>
  madeSeries(cell, [0, 400], cycles)
    .filter(({ force }) => force === 400)
    .map((reading) => ({ ...reading, direction: 'down' }))

const FIGURES = [
  'gain',
  'zero',
  'nonlinearity',
  'hysteresis',
  'halfDifference',
  'repeatability',
  'zeroReturn',
  'bow',
] as const

describe('a perfect cell', () => {
  it('has the gain and zero it was made with, and every error of shape is 0 and inside', () => {
    const told = of({})
    expect(told.gain.value).toBeCloseTo(50, 9)
    expect(told.zero.value).toBeCloseTo(4, 9)
    for (const name of ['nonlinearity', 'hysteresis', 'repeatability', 'zeroReturn'] as const) {
      expect(told[name].value).toBeCloseTo(0, 9)
      expect(told[name].verdict.state).toBe('inside')
      expect(told[name].limit?.source).toBe('common practice, no source')
    }
    expect(told.notes).toEqual([])
  })
})

describe('each fault moves its own figure by what was put in', () => {
  it('a bow of the signal is nonlinearity, and nothing else', () => {
    // y = 4 + 0.02 F + c F (400 − F): by hand, on 0, 100 … 400 the parabola's distance from its own least-squares
    // line is c·20 000 at the ends and in the middle; b stays 0.02, so 20 000 c / 8 mA of span.
    const c = 4e-6
    const bowed = { ...CELL, error: (force: number) => c * force * (400 - force) }
    const told = calibrate([...madeSeries(bowed, FORCES, 3), ...topDown(bowed, 3)], PLAIN)
    expect(told.gain.value).toBeCloseTo(50, 9)
    expect(told.nonlinearity.value).toBeCloseTo((100 * c * 20_000) / 8, 9)
    expect(told.nonlinearity.verdict.state).toBe('outside')
    // The sagitta of c·F(400 − F) over 0 to 400 is c·200².
    expect(told.bow.value).toBeCloseTo((-100 * c * 40_000) / 8, 9)
    for (const name of ['hysteresis', 'repeatability', 'zeroReturn'] as const)
      expect(told[name].value).toBeCloseTo(0, 9)
    expect(told.notes.join(' ')).toContain('miss the straight line')
  })

  it('a loop between up and down is hysteresis by its whole width, and leaves the gain alone', () => {
    const told = of({ error: (force, _, direction) => (direction === 'up' ? -1 : 1) * (force === 200 ? 0.04 : 0) })
    expect(told.hysteresis.value).toBeCloseTo((100 * 0.08) / 8, 2)
    expect(told.hysteresis.verdict.state).toBe('outside')
  })

  it('friction of the rope is told in % of the force with its sign, and leaves the gain inside its uncertainty', () => {
    const told = of({ friction: -0.01 })
    expect(told.halfDifference.value).toBeCloseTo(-1, 1)
    expect(told.halfDifference.why.formula).toContain('friction of rope and bearings plus hysteresis')
    expect(Math.abs((told.gain.value ?? 0) - 50)).toBeLessThan(told.gain.U ?? 0)
    expect(told.notes.join(' ')).toContain('one direction only')
  })

  it('cycles that differ are repeatability by highest less lowest', () => {
    const told = of({ error: (_, cycle) => [0, 0.008, 0.02][cycle - 1] ?? 0 })
    expect(told.repeatability.value).toBeCloseTo((100 * 0.02) / 8, 9)
    expect(told.repeatability.verdict.state).toBe('inside')
    expect(told.zeroReturn.value).toBeCloseTo(0, 9)
  })

  it('a zero that does not come back is zero return', () => {
    const told = of({ error: (force, _, direction) => (force === 0 && direction === 'down' ? 0.024 : 0) })
    expect(told.zeroReturn.value).toBeCloseTo((100 * 0.024 * (told.gain.value ?? 0)) / 400, 9)
    expect(told.zeroReturn.verdict.state).toBe('outside')
  })
})

describe('too few readings: each figure that cannot be told says what it needs, and is never 0', () => {
  const needs = (figure: ComputedFigure, words: string) => {
    expect([figure.value, figure.u, figure.U, figure.verdict.state]).toEqual([null, null, null, 'not-done'])
    expect(figure.waiting).toContain(words)
  }
  it('nothing, one force, or a cell that does not answer: no line and no figure', () => {
    for (const readings of [
      [],
      [{ cycle: 1, direction: 'up', force: 100, reading: 6 }],
      [0, 100, 200].map((force) => ({ cycle: 1, direction: 'up', force, reading: 7 })),
    ] satisfies CalibrationReading[][]) {
      const told = calibrate(readings, { ...PLAIN, expectedGain: { value: 50, u: 1 } })
      expect(told.line).toBeNull()
      for (const name of FIGURES) expect(told[name].value).toBeNull()
      expect(told.gainDifference?.value).toBeNull()
    }
  })

  it('two forces: a gain without uncertainty, its verdict unknown; no nonlinearity', () => {
    const two = madeSeries(CELL, [0, 400], 1).filter(({ direction }) => direction === 'up')
    const told = calibrate(two, { ...PLAIN, expectedGain: { value: 50, u: 0 } })
    expect(told.gain.value).toBeCloseTo(50, 9)
    expect(told.gain.u).toBeNull()
    expect(told.gainDifference?.verdict.state).toBe('unknown')
    needs(told.nonlinearity, 'three different forces')
    needs(told.bow, 'three different forces')
  })

  it('one way only: no hysteresis, no zero return, and the friction nobody saw stands in the budget of the gain', () => {
    const told = calibrate(
      madeSeries({ ...CELL, error: (force) => 1e-4 * Math.sin(force) }, FORCES, 2).filter((r) => r.direction === 'up'),
      PLAIN,
    )
    needs(told.hysteresis, 'read both up and down')
    needs(told.halfDifference, 'read both up and down')
    needs(told.zeroReturn, 'zero before and after')
    expect(told.gain.why.inputs.map(({ name }) => name).join()).toContain('not seen in one direction')
    expect(told.gain.u).toBeGreaterThan(0.005 * 50 * 0.999)
  })

  it('one cycle: no repeatability, and verdicts that need a scatter are unknown, not inside', () => {
    const told = of({}, 1)
    needs(told.repeatability, 'two cycles')
    for (const name of ['nonlinearity', 'hysteresis', 'zeroReturn'] as const) {
      expect(told[name].value).not.toBeNull()
      expect(told[name].verdict.state).toBe('unknown')
      expect(told[name].verdict.sentence).toContain('repeat the cycle')
    }
  })

  it('stated uncertainties stand in for cycles', () => {
    const stated = madeSeries(CELL, FORCES, 1).map((reading) => ({ ...reading, u: 0.001 }))
    const told = calibrate(stated, PLAIN)
    expect(told.hysteresis.verdict.state).toBe('inside')
    expect(told.hysteresis.u).toBeCloseTo((100 * Math.SQRT2 * 0.001) / 8, 6)
  })
})

describe('the budget of the gain', () => {
  it('a signal that repeats to the last digit is still uncertain by its step', () => {
    const readings = madeSeries(CELL, FORCES, 3).map((r) => ({ ...r, reading: Math.round(r.reading * 100) / 100 }))
    const told = calibrate(readings, { ...PLAIN, resolution: 0.01 })
    expect(told.gain.u).toBeGreaterThan(0)
    expect(told.gain.why.inputs.map(({ name }) => name)).toContain('resolution of the reading')
  })

  it('what is common to all forces moves the gain by its share, and the shape not at all', () => {
    const scale = { name: 'local gravity', value: 9.81, unit: 'm/s²', u: 0.0981, relative: 0.01 }
    const readings = madeSeries({ ...CELL, error: (force, cycle) => 1e-3 * Math.sin(force + cycle) }, FORCES, 3)
    const [without, having] = [calibrate(readings, PLAIN), calibrate(readings, { ...PLAIN, forceScale: [scale] })]
    const added = Math.sqrt((having.gain.u ?? 0) ** 2 - (without.gain.u ?? 0) ** 2)
    expect(added).toBeCloseTo(0.01 * (without.gain.value ?? 0), 8)
    expect(having.nonlinearity).toEqual(without.nonlinearity)
  })

  it('found against expected: inside, outside, or what stands in the way', () => {
    const readings = madeSeries({ ...CELL, error: (force, cycle) => 1e-3 * Math.sin(force + cycle) }, FORCES, 3)
    const against = (value: number, u: number) =>
      calibrate(readings, { ...PLAIN, expectedGain: { value, u } }).gainDifference
    expect(against(50, 0.05)?.verdict.state).toBe('inside')
    expect(against(40, 0.05)?.verdict.state).toBe('outside')
    expect(against(40, 0.05)?.value).toBeCloseTo(25, 1)
    const unsure = against(50, 1)
    expect(unsure?.verdict.state).toBe('undecided')
    expect(unsure?.verdict.sentence).toContain('expected gain')
  })

  it('scatter alone in the way says how many more cycles would do', () => {
    const readings = madeSeries(
      { ...CELL, error: (f, cycle, d) => 0.05 * Math.sin(f * 7 + cycle * 5 + d.length) },
      FORCES,
      2,
    )
    const found = calibrate(readings, PLAIN).gain.value ?? Number.NaN
    const told = calibrate(readings, { ...PLAIN, expectedGain: { value: found / 1.0195, u: 0 } })
    expect(told.gainDifference?.verdict.state).toBe('undecided')
    expect(told.gainDifference?.verdict.sentence).toMatch(/about \d+ more cycles would settle it/)
  })
})

describe('properties of a calibration', () => {
  const seriesArb = fc
    .array(fc.double({ min: -0.01, max: 0.01, noNaN: true }), { minLength: 27, maxLength: 27 })
    .map((errors) => madeSeries(CELL, FORCES, 3).map((r, i) => ({ ...r, reading: r.reading + (errors[i] ?? 0) })))
  const same = (a: Calibration, b: Calibration, names: readonly (typeof FIGURES)[number][]) => {
    for (const name of names) expect(b[name].value).toBeCloseTo(a[name].value ?? Number.NaN, 6)
  }

  it('does not depend on the order of the readings', () => {
    fc.assert(
      fc.property(seriesArb, fc.nat(), (readings, seed) => {
        const mixed = [...readings].sort(
          (a, b) => ((a.force * 31 + a.cycle * 17 + seed) % 13) - ((b.force * 31 + b.cycle * 17 + seed) % 13),
        )
        same(calibrate(readings, PLAIN), calibrate(mixed, PLAIN), FIGURES)
      }),
    )
  })

  it('in other units of the signal, or turned round, every percentage stays and the gain follows', () => {
    fc.assert(
      fc.property(seriesArb, fc.double({ min: 0.1, max: 100, noNaN: true }), fc.boolean(), (readings, size, flip) => {
        const c = flip ? -size : size
        const a = calibrate(readings, PLAIN)
        const b = calibrate(
          readings.map((r) => ({ ...r, reading: c * r.reading })),
          PLAIN,
        )
        same(a, b, ['nonlinearity', 'hysteresis', 'repeatability', 'zeroReturn', 'halfDifference'])
        expect((b.gain.value ?? 0) * c).toBeCloseTo(a.gain.value ?? 0, 6)
      }),
    )
  })

  it('a shift of the signal moves the zero alone', () => {
    fc.assert(
      fc.property(seriesArb, fc.double({ min: -10, max: 10, noNaN: true }), (readings, shift) => {
        const a = calibrate(readings, PLAIN)
        const b = calibrate(
          readings.map((r) => ({ ...r, reading: r.reading + shift })),
          PLAIN,
        )
        same(
          a,
          b,
          FIGURES.filter((name) => name !== 'zero'),
        )
        expect(b.zero.value).toBeCloseTo((a.zero.value ?? 0) + shift, 8)
      }),
    )
  })

  it('no figure is ever a number that is not finite', () => {
    const reading = fc.record({
      cycle: fc.integer({ min: 1, max: 3 }),
      direction: fc.constantFrom('up' as const, 'down' as const),
      force: fc.constantFrom(0, 50, 100, 150),
      reading: fc.double({ min: -20, max: 20, noNaN: true }),
    })
    fc.assert(
      fc.property(fc.array(reading, { maxLength: 12 }), (readings) => {
        const told = calibrate(readings, { ...PLAIN, expectedGain: { value: 50, u: 1 }, resolution: 0.001 })
        for (const name of [...FIGURES, 'gainDifference' as const]) {
          const figure = told[name]
          for (const value of [figure?.value, figure?.u, figure?.U, figure?.k, figure?.dof])
            expect(value === null || Number.isFinite(value)).toBe(true)
        }
      }),
    )
  })
})

describe('levels', () => {
  it('the same weight computed twice is one level; several readings of one place are averaged with their uncertainty', () => {
    const levels = levelsOf([
      { cycle: 1, direction: 'up', force: 100, reading: 6, u: 0.3 },
      { cycle: 1, direction: 'up', force: 100 + 1e-8, reading: 8, u: 0.4 },
      { cycle: 1, direction: 'down', force: 100, reading: 5 },
    ])
    expect(levels).toEqual([{ force: 100, cycles: [{ cycle: 1, up: 7, down: 5, uUp: 0.25, uDown: null }] }])
    expect(halfDifferences(levels)).toEqual([{ force: 100, half: 1, cycles: 1 }])
  })
})
