import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { meanOf } from '../../../lib/verification/evidence/means.ts'
import { capture as captureSchema } from '../../../shared/schemas/verification/capture.ts'
import { ar1, normal } from '../../statistics/noise-sources.ts'
import { cantilever, halfTurn } from '../support/made-context.ts'
import { factsOf, type Signal } from '../support/made-rows.ts'

const context = halfTurn()
const constant =
  (value: number): Signal =>
  () =>
    value
const still = (drive: Signal, operator: Signal = drive, seconds = 10, rateHz = 100) =>
  factsOf(context, { seconds, rateHz, columns: { drive_side: drive, operator_side: operator } })

describe('captureFacts', () => {
  it('has the published form, and tells every channel beside the cells by its mean', () => {
    const facts = factsOf(context, {
      seconds: 10,
      rateHz: 100,
      columns: {
        drive_side: constant(100),
        operator_side: constant(110),
        speed: constant(5),
        reference: constant(205),
        temperature: constant(21.5),
        neighbour: constant(0.3),
        roller_speed: constant(7),
      },
    })
    expect(captureSchema.parse(facts)).toEqual(facts)
    expect(facts.speed?.value).toBeCloseTo(5, 12)
    expect(facts.temperature?.value).toBeCloseTo(21.5, 12)
    expect(facts.neighbour?.value).toBeCloseTo(0.3, 12)
    expect(facts.rollerSpeed?.value).toBeCloseTo(7, 12)
    expect(facts.reference).toEqual(facts.expected)
  })

  it('half a turn: the web’s tension is half of both forces, and m v² more for what its own inertia takes off', () => {
    // Statics of a belt over a pulley; m = 0.052 kg/m of web (0.04 kg/m² of 1.3 m) by HALF_TURN’s config at 10 m/s: 5.2 N.
    const at = (speed: number) =>
      factsOf(context, {
        seconds: 10,
        rateHz: 100,
        columns: { drive_side: constant(100), operator_side: constant(100), speed: constant(speed) },
      }).total?.value
    expect(at(0)).toBeCloseTo(100, 6)
    expect((at(10) ?? 0) - (at(0) ?? 0)).toBeCloseTo(5.2, 6)
  })

  it('(operator − drive)/(operator + drive), %; what both sides do together leaves no trace in its uncertainty', () => {
    const wave = (s: number) => 1 + 0.3 * Math.sin(s / 3)
    const { imbalance, total } = still(
      (s) => 90 * wave(s),
      (s) => 110 * wave(s),
    )
    expect(imbalance?.value).toBeCloseTo(10, 9)
    expect(imbalance?.u).toBeLessThan(1e-9)
    expect(total?.u).toBeGreaterThan(1)
  })

  it('one cell has no side difference', () => {
    const facts = factsOf(cantilever(), { seconds: 5, rateHz: 100, columns: { single: constant(200) } })
    expect(facts.imbalance).toBeNull()
    expect(facts.total?.value).toBeCloseTo(100, 6)
  })

  it('a side without one good sample is null throughout, never zero, and so is all that needs both', () => {
    const { sides, total, imbalance, residual, change, trace } = still(constant(100), () => 'no-answer')
    expect(sides.operator_side).toMatchObject({
      samples: 1000,
      good: 0,
      bad: 1000,
      badStretches: 1,
      electrical: null,
      force: null,
      min: null,
      max: null,
      noise: null,
      peakToPeak: null,
      distinct: 0,
      step: null,
    })
    expect([total, imbalance, residual, change.operator_side]).toEqual([null, null, null, null])
    expect(new Set(trace.sides.operator_side)).toEqual(new Set([null]))
    expect(sides.drive_side?.force?.value).toBe(100)
  })

  it('a single good sample has a range and no mean: nothing is known of its uncertainty', () => {
    const { sides } = still((_, row) => (row === 500 ? 100 : 'no-answer'))
    expect(sides.drive_side).toMatchObject({ good: 1, force: null, electrical: null })
  })

  it('bad samples never reach a number, whatever value they came with', () => {
    const good = still(constant(100)).sides.drive_side
    const spoilt = still((_, row) => (row % 10 === 0 ? 'wire-break' : 100)).sides.drive_side
    expect(spoilt).toMatchObject({ force: good?.force, min: 100, max: 100, noise: 0, bad: 100, badStretches: 100 })
  })

  it('counts stretches of bad samples, and the share that stood at an end of the range', () => {
    const facts = still((_, row) => {
      if (row >= 100 && row < 150) return 'over-range'
      if (row >= 400 && row < 420) return 'no-answer'
      return row >= 420 && row < 425 ? 'saturated' : 50
    })
    expect(facts.sides.drive_side).toMatchObject({ bad: 75, badStretches: 2, atEnd: 0.055 })
  })

  it('a row in which only the other side came says nothing of this one', () => {
    const { sides } = still(
      (_, row) => (row % 2 === 0 ? 100 : null),
      (_, row) => (row % 2 === 1 ? 100 : null),
    )
    expect(sides.drive_side).toMatchObject({ samples: 500, good: 500, bad: 0, badStretches: 0 })
  })

  it('the electrical value is the force by gain and zero', () => {
    const { electrical, electricalUnit } = still(constant(100)).sides.drive_side ?? {}
    expect(electrical?.value).toBeCloseTo(0.28 + 100 / 250, 12)
    expect(electricalUnit).toBe('mV/V')
  })
})

describe('the mean of a capture', () => {
  // Asymptotic variance of an AR(1) mean: σ²(1 + φ)/(1 − φ)/n (Box, Jenkins, Reinsel, Time Series Analysis, ch. 2; M).
  it('covers the truth in about 95 of 100 captures, also where samples remember one another', () => {
    for (const [phi, seconds] of [
      [0, 5],
      [0.9, 10],
      [0.97, 30],
    ] as const) {
      let covered = 0
      const runs = 400
      for (let run = 0; run < runs; run += 1) {
        const next = ar1(1000 * run + Math.round(100 * phi), phi)
        const values = Array.from({ length: 50 * seconds }, () => 100 + next())
        const told = meanOf(
          values.map((_, i) => 20 * i),
          values,
        )
        if (Math.abs((told?.value ?? 0) - 100) <= 1.96 * (told?.u ?? 0)) covered += 1
      }
      // Binomial 95 ± 1.1 %: five of it below.
      expect(covered / runs, `φ = ${phi}`).toBeGreaterThan(0.895)
      expect(covered / runs, `φ = ${phi}`).toBeLessThan(0.995)
    }
  })
})

describe('the noise of a capture', () => {
  it('is that of the samples, with slow motion taken out', () => {
    const next = normal(7)
    const { noise, peakToPeak, force } = still((s) => 100 + 20 * Math.sin(s / 20) + 0.5 * next(), constant(0), 60).sides
      .drive_side ?? { noise: 0, peakToPeak: 0, force: null }
    expect(noise).toBeGreaterThan(0.48)
    expect(noise).toBeLessThan(0.52)
    // 6000 normal values span about 2 × 3.6 σ.
    expect(peakToPeak).toBeGreaterThan(2.9)
    expect(peakToPeak).toBeLessThan(5)
    expect(force?.value).toBeGreaterThan(100)
  })
})

describe('distinct values and step', () => {
  it('is what the converter resolves: coarse readings tell their own step', () => {
    const next = normal(3)
    const { distinct, step } = still(() => 0.25 * Math.round((100 + next()) / 0.25), constant(0)).sides.drive_side ?? {}
    expect(step).toBeCloseTo(0.25, 9)
    expect(distinct).toBeGreaterThan(10)
    expect(distinct).toBeLessThan(40)
  })

  it('a signal that never moved shows one value and no step', () => {
    expect(still(constant(100)).sides.drive_side).toMatchObject({ distinct: 1, step: null })
  })
})

describe('spikes', () => {
  const noisy = (at: ReadonlyMap<number, number>): Signal => {
    const next = normal(11)
    return (_, row) => 100 + 0.2 * next() + (at.get(row) ?? 0)
  }

  it('counts single samples far from both neighbours', () => {
    const at = new Map([
      [200, 60],
      [500, -60],
      [900, 60],
    ])
    expect(still(noisy(at)).sides.drive_side?.spikes).toBe(3)
  })

  it('a step, a ramp and plain noise are none', () => {
    const next = normal(5)
    expect(still((s) => (s < 5 ? 0 : 100) + 0.2 * next()).sides.drive_side?.spikes).toBe(0)
    expect(still((s) => 10 * s + 0.2 * next()).sides.drive_side?.spikes).toBe(0)
  })
})

describe('the picture', () => {
  it('shows every extreme of the good samples, at most 400 points, in order of time within the stretch', () => {
    fc.assert(
      fc.property(
        fc.array(
          fc.oneof(
            { weight: 9, arbitrary: fc.double({ min: -500, max: 500, noNaN: true }) },
            { weight: 1, arbitrary: fc.constant('no-answer' as const) },
          ),
          {
            minLength: 4,
            maxLength: 900,
          },
        ),
        (signal) => {
          const facts = still((_, row) => signal[row] ?? null, constant(0), signal.length / 100)
          const { t, sides } = facts.trace
          const shown = sides.drive_side ?? []
          expect(t.length).toBeLessThanOrEqual(400)
          expect(shown).toHaveLength(t.length)
          expect(t.every((s, i) => s >= 0 && s <= signal.length / 100 && s > (t[i - 1] ?? -1))).toBe(true)
          const good = signal.filter((one) => typeof one === 'number')
          const points = shown.filter((one) => one !== null)
          if (good.length === 0) expect(points).toEqual([])
          else
            for (const extreme of [Math.min(...good), Math.max(...good)])
              expect(points.some((one) => Math.abs(one - extreme) <= 1e-5 * Math.max(1e-3, Math.abs(extreme)))).toBe(
                true,
              )
        },
      ),
      { numRuns: 150 },
    )
  })

  it('a stretch of bad samples is a gap, as long as it was', () => {
    const { t, sides } = still((s) => (s >= 4 && s < 6 ? 'no-answer' : 100)).trace
    const gap = t.filter((_, i) => sides.drive_side?.[i] === null)
    expect(gap.length).toBeGreaterThan(70)
    expect(gap.every((s) => s >= 3.9 && s <= 6.1)).toBe(true)
  })

  it('a slow device is no gap: five samples a second make a picture without one', () => {
    const { t, sides } = still((s) => 100 + s, constant(0), 20, 5).trace
    expect(sides.drive_side).not.toContain(null)
    expect(t.length).toBeGreaterThan(50)
  })

  it('two devices that answer in turn make no gaps in one another', () => {
    const { sides } = still(
      (s, row) => (row % 2 === 0 ? s : null),
      (s, row) => (row % 2 === 1 ? s : null),
    ).trace
    expect(sides.drive_side).not.toContain(null)
    expect(sides.operator_side).not.toContain(null)
  })
})
