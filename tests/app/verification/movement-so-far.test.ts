import { describe, expect, it } from 'vitest'
import { movedSoFar } from '../../../app/verification/_model/movement-so-far.ts'
import type { QualityCode } from '../../../shared/quality.ts'
import { ringWith } from '../plot-rows.ts'

const SIDES = ['drive_side', 'operator_side'] as const

/** 20/s from t = 0 for so long: the drive side by time, the operator side at 50 N; rest is the first two seconds. */
function moved(seconds: number, drive: (s: number) => number, code: (s: number) => QualityCode = () => 'good') {
  const rows = Array.from({ length: 20 * seconds + 1 }, (_, i) => {
    const value = code(i / 20) === 'good' ? drive(i / 20) : Number.NaN
    return { t: 50 * i, values: [value, 50] as const, codes: [code(i / 20), 'good'] as const }
  })
  const [first, second] = movedSoFar(ringWith(rows), SIDES, 0)
  return { drive: first, operator: second }
}

/** 100 ± 1 N by turns: mean 100, s² = 40/39 of 40 samples. */
const resting = (s: number) => (Math.round(20 * s) % 2 === 0 ? 101 : 99)

describe('what moves during a push', () => {
  it('is each side’s newest sample and its change from the rest, with the scatter at rest as uncertainty', () => {
    const { drive, operator } = moved(4, (s) => (s < 3 ? resting(s) : 178))
    expect(drive).toMatchObject({ newest: 178, change: { value: 78 } })
    expect(drive?.change?.U).toBeCloseTo(2 * Math.sqrt((40 / 39) * (1 + 1 / 40)), 12)
    expect(operator).toEqual({ side: 'operator_side', newest: 50, change: { value: 0, U: 0 } })
  })

  it('has a sign', () => {
    expect(moved(4, (s) => (s < 3 ? resting(s) : 40)).drive?.change?.value).toBe(-60)
  })

  it('is not told before the rest is over; the newest sample is', () => {
    expect(moved(1, resting).drive).toEqual({ side: 'drive_side', newest: 101, change: null })
  })

  it('is unknown where the newest sample is bad, or none at rest was good: never the last value', () => {
    expect(moved(4, resting, (s) => (s >= 3.5 ? 'wire-break' : 'good')).drive).toMatchObject({
      newest: null,
      change: null,
    })
    expect(moved(4, resting, (s) => (s < 2 ? 'wire-break' : 'good')).drive).toMatchObject({ newest: 101, change: null })
  })

  it('of a side that the zone does not read is unknown', () => {
    expect(movedSoFar(ringWith([]), ['single'], 0)).toEqual([{ side: 'single', newest: null, change: null }])
  })
})
