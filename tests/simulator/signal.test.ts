import { describe, expect, it } from 'vitest'
import { LowPass } from '../../simulator/physics/filter.ts'
import { CorrelatedNoise, FlickerNoise, SlowWander, whiteNoise } from '../../simulator/physics/noise.ts'
import { RandomStream } from '../../simulator/physics/random.ts'

const DT = 0.001

describe('amplifier filter', () => {
  const response = (count: number) => {
    const filter = new LowPass()
    filter.step(0, 20, Math.SQRT1_2, DT)
    return Array.from({ length: count }, () => filter.step(1, 20, Math.SQRT1_2, DT))
  }

  // scipy 1.10.1: b, a = signal.butter(2, 20, fs=1000); signal.lfilter(b, a, ones(60)) (C).
  it('steps like scipy’s second-order Butterworth at 20 Hz', () => {
    const got = response(60)
    const expected: [number, number][] = [
      [0, 0.0036216815149286417],
      [1, 0.017466265062723637],
      [5, 0.17057853939000764],
      [10, 0.4497789558338855],
      [22, 0.933676702396058],
      [30, 1.033066513699582],
      [59, 1.001412370512744],
    ]
    for (const [i, value] of expected) expect(got[i]).toBeCloseTo(value, 12)
  })

  // Overshoot exp(−πζ/√(1−ζ²)) of a second-order system: 4.32 % at ζ = 1/√2 (Ogata, Modern Control Engineering; from memory).
  it('overshoots a step by 4.3 % and settles at 1', () => {
    const got = response(2000)
    expect(Math.max(...got)).toBeCloseTo(1.0432, 3)
    expect(got.at(-1)).toBeCloseTo(1, 9)
  })

  it.each([
    [20, Math.SQRT1_2],
    [2, 1],
  ])('at its corner %d Hz it passes 0.7071', (hertz, passed) => {
    const filter = new LowPass()
    let top = 0
    for (let i = 0; i < 4000; i++) {
      const out = filter.step(Math.sin(2 * Math.PI * hertz * i * DT), 20, Math.SQRT1_2, DT)
      if (i > 2000) top = Math.max(top, Math.abs(out))
    }
    // At a tenth of the corner the gain is 1/√(1 + 10⁻⁴).
    expect(top).toBeCloseTo(hertz === 20 ? passed : 0.99995, 3)
  })

  it('starts settled on its first input', () => {
    const filter = new LowPass()
    for (let i = 0; i < 100; i++) expect(filter.step(2.5, 20, Math.SQRT1_2, DT)).toBeCloseTo(2.5, 12)
  })
})

const sample = (count: number, next: () => number) => Array.from({ length: count }, next)
const mean = (values: readonly number[]) => values.reduce((a, b) => a + b, 0) / values.length
function sd(values: readonly number[]): number {
  const centre = mean(values)
  return Math.sqrt(mean(values.map((v) => (v - centre) ** 2)))
}
/** Two-sample deviation of block means (Allan deviation, NIST SP 1065 eq. 7). */
function allan(values: readonly number[], block: number): number {
  const means: number[] = []
  for (let i = 0; i + block <= values.length; i += block) means.push(mean(values.slice(i, i + block)))
  const steps = means.slice(1).map((m, i) => (m - (means[i] as number)) ** 2)
  return Math.sqrt(mean(steps) / 2)
}

describe('randomness', () => {
  it('the same seed and name give the same stream, another of either another stream', () => {
    const take = (seed: number, name: string) =>
      sample(
        5,
        (
          (r) => () =>
            r.uniform()
        )(new RandomStream(seed, name)),
      )
    expect(take(1, 'a')).toEqual(take(1, 'a'))
    expect(take(1, 'a')).not.toEqual(take(2, 'a'))
    expect(take(1, 'a')).not.toEqual(take(1, 'b'))
  })

  // Standard normal: mean 0, σ 1, 95.45 % within 2σ, fourth moment 3. Tolerances are 5 standard errors.
  it('gaussian numbers are gaussian', () => {
    const random = new RandomStream(3, 'normal')
    const values = sample(200_000, () => random.gaussian())
    expect(Math.abs(mean(values))).toBeLessThan(5 / Math.sqrt(200_000))
    expect(Math.abs(sd(values) - 1)).toBeLessThan(5 / Math.sqrt(400_000))
    expect(Math.abs(mean(values.map((v) => (Math.abs(v) < 2 ? 1 : 0))) - 0.9545)).toBeLessThan(0.0024)
    expect(Math.abs(mean(values.map((v) => v ** 4)) - 3)).toBeLessThan(0.11)
  })
})

describe('noise', () => {
  it('white noise keeps its density whatever the step', () => {
    const random = new RandomStream(4, 'white')
    const fine = sd(sample(50_000, () => whiteNoise(random, 2, 0.001)))
    const coarse = sd(sample(50_000, () => whiteNoise(random, 2, 0.004)))
    // σ² = density²/(2 dt): 2·√500 = 44.72 and half of it.
    expect(fine).toBeGreaterThan(44.0)
    expect(fine).toBeLessThan(45.5)
    expect(fine / coarse).toBeGreaterThan(1.95)
    expect(fine / coarse).toBeLessThan(2.05)
  })

  it('correlated noise and the slow wander have standard deviation 1 whatever the step', () => {
    for (const dt of [0.01, 0.1]) {
      const plain = new CorrelatedNoise(new RandomStream(5, 'c'), 0.5)
      const smooth = new SlowWander(new RandomStream(5, 's'), 0.5)
      expect(Math.abs(sd(sample(100_000, () => plain.step(dt))) - 1)).toBeLessThan(0.08)
      expect(Math.abs(sd(sample(100_000, () => smooth.step(dt))) - 1)).toBeLessThan(0.12)
    }
  })

  // Allan deviation: white noise falls by √10 a decade, flicker stays level (NIST SP 1065 §3).
  it('flicker does not average away, white noise does', () => {
    const flicker = new FlickerNoise(new RandomStream(6, 'f'))
    const random = new RandomStream(6, 'w')
    const pink = sample(200_000, () => flicker.step(0.01))
    const white = sample(200_000, () => whiteNoise(random, 1, 0.01))
    const pinkRatio = allan(pink, 50) / allan(pink, 500)
    const whiteRatio = allan(white, 50) / allan(white, 500)
    expect(pinkRatio).toBeGreaterThan(0.8)
    expect(pinkRatio).toBeLessThan(1.25)
    expect(whiteRatio).toBeGreaterThan(2.6)
    expect(whiteRatio).toBeLessThan(3.7)
  })
})
