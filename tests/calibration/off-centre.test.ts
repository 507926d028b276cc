import { describe, expect, it } from 'vitest'
import { creep } from '../../lib/calibration/creep.ts'
import { DEFAULT_CALIBRATION_LIMITS } from '../../lib/calibration/limits.ts'
import { type OffCentreReading, offCentreCheck } from '../../lib/calibration/off-centre.ts'

const F = 200
const L = 1.6

/** By moments about the drive-side cell: OS = F (½ + e/L), DS the rest; `gains` as the channels read them. */
function made(places: readonly number[], gains = { drive: 1, operator: 1 }, u?: number): OffCentreReading[] {
  return places.map((e) => ({
    position: e,
    driveSideN: gains.drive * F * (0.5 - e / L),
    operatorSideN: gains.operator * F * (0.5 + e / L),
    ...(u === undefined ? {} : { u }),
  }))
}
const check = (readings: readonly OffCentreReading[]) =>
  offCentreCheck(
    { readings, force: { value: F, u: 0.2 }, cellDistance: { value: L, u: 0.001 }, uPosition: 0.001 },
    DEFAULT_CALIBRATION_LIMITS,
  )

describe('off-centre check', () => {
  it('two right channels: the sum stays, the difference moves by 2F/L and the imbalance by 2/L a metre', () => {
    const told = check(made([-0.4, 0.4], undefined, 0.1))
    expect(told.found.differencePerMetre).toBeCloseTo(250, 9)
    expect(told.found.imbalancePerMetre).toBeCloseTo(1.25, 9)
    expect(told.expected).toEqual({ differencePerMetre: 250, imbalancePerMetre: 1.25 })
    expect([told.sumMovement, told.differenceSlope, told.imbalanceSlope].map((f) => f.verdict.state)).toEqual([
      'inside',
      'inside',
      'inside',
    ])
    // u by hand: each difference has u = 0.1·√2; the slope over 0.8 m √2 · 0.1 · √2 / 0.8, of 250 N/m.
    expect(told.differenceSlope.uRandom).toBeCloseTo((100 * 0.2) / 0.8 / 250, 9)
  })

  it('one gain 4 % high: the sum moves by that share of the swing', () => {
    const told = check(made([-0.4, 0, 0.4], { drive: 1, operator: 1.04 }, 0.1))
    // Sum = F(1 + 0.02 + 0.04 e/L): over 0.8 m it moves by 0.02 F, of a mean 1.02 F.
    expect(told.sumMovement.value).toBeCloseTo(2 / 1.02, 9)
    expect(told.sumMovement.verdict.state).toBe('outside')
  })

  it('sides swapped: the slopes have the wrong sign, and that is outside', () => {
    const swapped = made([-0.4, 0.4], undefined, 0.1).map((r) => ({
      ...r,
      driveSideN: r.operatorSideN,
      operatorSideN: r.driveSideN,
    }))
    expect(check(swapped).differenceSlope.value).toBeCloseTo(-200, 6)
    expect(check(swapped).differenceSlope.verdict.state).toBe('outside')
  })

  it('two places without a stated uncertainty: values, and verdicts unknown', () => {
    const told = check(made([-0.4, 0.4]))
    expect(told.sumMovement.value).toBeCloseTo(0, 9)
    expect(told.sumMovement.verdict.state).toBe('unknown')
    expect(told.sumMovement.u).toBeNull()
  })

  it('one place, or no load at all, cannot tell', () => {
    for (const readings of [[], made([0.2]), made([0.2, 0.2])]) {
      const told = check(readings)
      expect(told.sumMovement.value).toBeNull()
      expect(told.differenceSlope.waiting).toContain('two different places')
      expect(told.found).toEqual({ differencePerMetre: null, imbalancePerMetre: null })
    }
    const unloaded = [-0.4, 0.4].map((position) => ({ position, driveSideN: 0, operatorSideN: 0 }))
    expect(check(unloaded).sumMovement.waiting).toContain('no weight')
    expect(check(unloaded).imbalanceSlope.value).toBeNull()
  })
})

describe('creep', () => {
  const every = (stepS: number, toS: number) => Array.from({ length: toS / stepS + 1 }, (_, i) => i * stepS)
  const slow = (s: number) => 10 + 0.004 * (1 - Math.exp(-s / 600))
  const hold = (seconds: number[]) => ({ seconds, readings: seconds.map(slow), u: 1e-5 })
  const told = (outcome: ReturnType<typeof creep>['fiveMinutes']) =>
    outcome.kind === 'told' ? outcome.quantity.value : outcome.why

  it('30 to 300 s, within 30 min and 20 to 30 min, in % of span', () => {
    const result = creep(hold(every(10, 1800)), 10)
    expect(told(result.fiveMinutes)).toBeCloseTo(10 * (slow(300) - slow(30)), 9)
    expect(told(result.thirtyMinutes)).toBeCloseTo(10 * (slow(1800) - slow(0)), 9)
    expect(told(result.lastTenMinutes)).toBeCloseTo(10 * (slow(1800) - slow(1200)), 9)
  })

  it('a hold too short, or read too seldom, cannot tell, and says at which second it is missing', () => {
    const short = creep(hold(every(10, 290)), 10)
    expect(told(short.fiveMinutes)).toContain('300 s')
    expect(told(short.thirtyMinutes)).toContain('1800 s')
    expect(told(short.lastTenMinutes)).toContain('1200 s')
    expect(told(creep(hold([0, 200, 400]), 10).fiveMinutes)).toContain('30 s')
    expect(told(creep(hold([]), 10).thirtyMinutes)).toContain('first reading')
    expect(told(creep(hold([100, 1800]), 10).thirtyMinutes)).toContain('first reading')
  })
})
