import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { FourierPlan } from '../../lib/spectrum/fourier.ts'
import { FEWEST_SAMPLES, signalSpectrum } from '../../lib/spectrum/signal-spectrum.ts'
import { isEven, spacingOf } from '../../lib/spectrum/spacing.ts'
import { directSums, fastSums } from '../../lib/spectrum/uneven-sums.ts'
import { finish, welch } from '../../lib/spectrum/welch.ts'
import { Random } from '../../lib/uncertainty/random.ts'
import { madeSignal, spectrumOf } from './made-signals.ts'

describe('power density', () => {
  it('sums to the variance of the samples (Parseval), whatever they are', () => {
    const values = fc.array(fc.double({ min: -1e3, max: 1e3, noNaN: true }), { minLength: 64, maxLength: 64 })
    fc.assert(
      fc.property(values, (x) => {
        const window = new Float64Array(64).fill(1)
        const { density, binHz } = finish(welch(x, { rateHz: 50, overlap: 0, window, detrend: 'constant' }))
        const power = density.reduce((sum, p) => sum + p * binHz, 0)
        const mean = x.reduce((sum, v) => sum + v / 64, 0)
        const variance = x.reduce((sum, v) => sum + (v - mean) ** 2 / 64, 0)
        expect(Math.abs(power - variance)).toBeLessThan(1e-9 * variance + 1e-9)
      }),
    )
  })
  it('of white noise is 2σ²/fs by either method', () => {
    for (const missing of [0, 0.1]) {
      const { density, method } = spectrumOf(madeSignal({ samples: 16_384, rateHz: 100, sigma: 3, missing }))
      expect(method).toBe(missing === 0 ? 'welch' : 'lomb-scargle')
      const inner = density.slice(5, -5)
      const mean = inner.reduce((sum, p) => sum + p / inner.length, 0)
      expect(mean / ((2 * 9) / 100)).toBeCloseTo(1, 1)
    }
  })
  it('is the same by both methods where one sample of many is missing', () => {
    const tones = [{ amplitude: 2, hz: 9.7 }]
    const whole = madeSignal({ samples: 4096, rateHz: 100, tones, sigma: 0.3 })
    const [a, b] = [
      whole,
      { times: whole.times.filter((_, i) => i !== 2000), values: whole.values.filter((_, i) => i !== 2000) },
    ].map(spectrumOf)
    expect([a?.method, b?.method]).toEqual(['welch', 'lomb-scargle'])
    const peak = Math.round(9.7 / (a?.binHz ?? 1))
    expect((b?.density[peak] ?? 0) / (a?.density[peak] ?? 1)).toBeCloseTo(1, 1)
  })
  it('waits for 128 samples, and for a stretch that has most of its samples', () => {
    expect(FEWEST_SAMPLES).toBe(128)
    expect(finish(signalSpectrum(madeSignal({ samples: 127, rateHz: 100 })))).toBeUndefined()
    const { times, values } = madeSignal({ samples: 1200, rateHz: 100 })
    const half = (_: number, i: number) => i % 100 < 45
    expect(finish(signalSpectrum({ times: times.filter(half), values: values.filter(half) }))).toBeUndefined()
  })
})

describe('sums over uneven times', () => {
  it('the fast way is the direct way within 1e−6 of Σ|c|', () => {
    const sample = fc.tuple(fc.double({ min: 0, max: 9.999, noNaN: true }), fc.double({ min: -5, max: 5, noNaN: true }))
    fc.assert(
      fc.property(fc.array(sample, { minLength: 1, maxLength: 40 }), (samples) => {
        const times = Float64Array.from(samples, ([t]) => t)
        const c = Float64Array.from(samples, ([, value]) => value)
        const size = c.reduce((sum, value) => sum + Math.abs(value), 0)
        const [fast, direct] = [fastSums(times, c, 0.1, 32), directSums(times, c, 0.1, 32)]
        for (let k = 0; k < 32; k++) {
          expect(Math.abs((fast.cos[k] ?? 0) - (direct.cos[k] ?? 0))).toBeLessThanOrEqual(1e-6 * size + 1e-12)
          expect(Math.abs((fast.sin[k] ?? 0) - (direct.sin[k] ?? 0))).toBeLessThanOrEqual(1e-6 * size + 1e-12)
        }
      }),
      { numRuns: 50 },
    )
  })
})

describe('spacing', () => {
  it('even samples with a little jitter are even; a missing one or much jitter makes them uneven', () => {
    const of = (made: { missing?: number; jitter?: number }) =>
      spacingOf(madeSignal({ samples: 1000, rateHz: 100, ...made }).times)
    expect(isEven(of({}))).toBe(true)
    expect(isEven(of({ jitter: 0.01 }))).toBe(true)
    expect(isEven(of({ jitter: 0.1 }))).toBe(false)
    expect(isEven(of({ missing: 0.01 }))).toBe(false)
    expect(of({ jitter: 0.1 }).jitter).toBeCloseTo(0.1, 1)
  })
  it('neither gaps nor jitter nor a silent minute shift the rate', () => {
    const { times } = madeSignal({ samples: 9000, rateHz: 80, missing: 0.05, jitter: 0.12, seed: 3 })
    const torn = times.filter((t) => t < 20 || t > 80)
    for (const kept of [times, torn]) expect(1 / spacingOf(kept).periodS).toBeCloseTo(80, 2)
  })
  it('late answers and dropped ticks of a busy machine do not shift the rate that was asked for; another true rate is found', () => {
    for (let seed = 0; seed < 20; seed++) {
      const random = Random.seeded(seed)
      const times: number[] = []
      let busyTo = 0
      for (let tick = 0; tick < 3000; tick++) {
        if (random.uniform() < 0.005) busyTo = tick + Math.floor(25 * random.uniform())
        // Late by 0.4 of a period on the mean, up to several.
        const at = (tick - 0.4 * Math.log(1 - random.uniform())) / 100
        if (tick >= busyTo && at > (times.at(-1) ?? -1) + 5e-4) times.push(at)
      }
      expect(1 / spacingOf(Float64Array.from(times), 1 / 100).periodS).toBeCloseTo(100, 1)
    }
    const recorded = madeSignal({ samples: 2000, rateHz: 50, jitter: 0.05 }).times
    expect(1 / spacingOf(recorded, 1 / 10).periodS).toBeCloseTo(50, 2)
  })
  it('throws for one sample', () => {
    expect(() => spacingOf(Float64Array.of(1))).toThrow(RangeError)
  })
})

describe('the Fourier transform', () => {
  it('refuses a size that is no power of two', () => {
    for (const size of [0, 1, 3, 100]) expect(() => FourierPlan.of(size)).toThrow(RangeError)
  })
  it('welch refuses fewer samples than one segment, and an overlap of a whole one', () => {
    const window = new Float64Array(32).fill(1)
    expect(() => finish(welch([1, 2, 3], { rateHz: 1, window, overlap: 16, detrend: 'none' }))).toThrow(RangeError)
    expect(() => finish(welch(window, { rateHz: 1, window, overlap: 32, detrend: 'none' }))).toThrow(RangeError)
  })
})
