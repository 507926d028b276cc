import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { computeStatistics } from '../../lib/verdicts/computed-series.ts'
import { type StatisticsRequestInput, statisticsRequest } from '../../shared/schemas/compute-statistics.ts'
import { normal } from '../statistics/noise-sources.ts'

const compute = (request: StatisticsRequestInput) => computeStatistics(statisticsRequest.parse(request))
const times = (n: number, rateHz: number) => Array.from({ length: n }, (_, i) => i / rateHz)

function noisy(n: number, mean: number, seed: number): number[] {
  const next = normal(seed)
  return Array.from({ length: n }, () => mean + 0.5 * next())
}
const average = (xs: readonly number[]) => xs.reduce((sum, x) => sum + x, 0) / xs.length

describe('statistics of a posted stretch', () => {
  const timesS = times(1200, 20)
  const driveSideN = noisy(1200, 90, 1)
  const operatorSideN = noisy(1200, 110, 2)
  const told = compute({ timesS, forces: { driveSideN, operatorSideN }, cellDistanceM: 1.6 })
  const { sides } = told
  if (!('drive_side' in sides)) throw new Error('two sides were posted')

  it('means are those of all samples, the sum is their sum', () => {
    expect(sides.drive_side.force.value).toBeCloseTo(average(driveSideN), 9)
    expect(told.total.value).toBeCloseTo(average(driveSideN) + average(operatorSideN), 9)
    expect(told.total.window).toMatchObject({ samples: 1200 })
  })

  it('side difference is (OS − DS)/(OS + DS), the line of pull half the cell distance times it', () => {
    const [d, o] = [average(driveSideN), average(operatorSideN)]
    expect(told.imbalance?.value).toBeCloseTo((100 * (o - d)) / (o + d), 9)
    expect(told.lineOfPull?.value).toBeCloseTo(((o - d) / (o + d)) * 0.8, 9)
    expect(told.imbalance?.limit).toEqual({ target: 0, half: 10, source: 'common practice, no source' })
    // 10 % of side difference against a limit of 10 %: nothing can be said.
    expect(told.imbalance?.verdict.state).toBe('undecided')
  })

  it('noise is what was put in, within its uncertainty', () => {
    const { noise } = sides.drive_side
    expect(Math.abs((noise.value ?? 0) - (100 * 0.5) / 90)).toBeLessThan(1.5 * (noise.U ?? 0))
    expect(noise.verdict.state).toBe('inside')
  })

  it('a limit of the request is used, and named as such', () => {
    const strict = compute({ timesS, forces: { driveSideN, operatorSideN }, limits: { sideDifferencePercent: 5 } })
    expect(strict.imbalance?.limit).toEqual({ target: 0, half: 5, source: 'given in the request' })
    expect(strict.imbalance?.verdict.state).toBe('outside')
  })

  it('a force factor turns forces into tensions', () => {
    const tension = compute({ timesS, forces: { driveSideN, operatorSideN }, cell: { forceFactor: 2 } })
    expect(tension.totalMeans).toBe('tension')
    expect(tension.total.value).toBeCloseTo((told.total.value ?? 0) / 2, 9)
  })

  it('one cell has neither side difference nor line of pull', () => {
    const single = compute({ timesS, forces: { singleN: driveSideN } })
    expect(Object.keys(single.sides)).toEqual(['single'])
    expect([single.imbalance, single.lineOfPull, single.driftOfSideDifference]).toEqual([
      undefined,
      undefined,
      undefined,
    ])
  })

  it('a drift of the side difference is found: 6 points per hour put in', () => {
    const n = 3600
    const hours = times(n, 1).map((t) => t / 3600)
    const drifting = (sign: number, seed: number) =>
      noisy(n, 0, seed).map((e, i) => 100 + e + sign * 6 * (hours[i] ?? 0))
    const drift = compute({
      timesS: times(n, 1),
      forces: { driveSideN: drifting(-1, 3), operatorSideN: drifting(1, 4) },
    })
    expect(Math.abs((drift.driftOfSideDifference?.value ?? 0) - 6)).toBeLessThan(drift.driftOfSideDifference?.U ?? 0)
    expect(drift.driftOfSideDifference?.verdict.state).toBe('outside')
  })

  it('times of any origin give the same figures, dated as posted', () => {
    const shifted = compute({ timesS: timesS.map((t) => t + 1_760_000_000), forces: { driveSideN, operatorSideN } })
    expect(shifted.total.value).toBeCloseTo(told.total.value ?? 0, 9)
    expect(shifted.total.timeMs).toBeCloseTo(1000 * (1_760_000_000 + 1199 / 20), 3)
  })
})

describe('what is missing is never a number', () => {
  const timesS = times(600, 10)
  it('nulls are left out, not taken as 0', () => {
    const singleN = noisy(600, 100, 5).map((x, i) => (i % 7 === 0 ? null : x))
    const told = compute({ timesS, forces: { singleN } })
    expect(told.total.value).toBeCloseTo(average(singleN.filter((x) => x !== null)), 9)
  })

  it('a side without a sample makes itself and every figure of both unknown', () => {
    const told = compute({
      timesS,
      forces: { driveSideN: noisy(600, 100, 6), operatorSideN: timesS.map(() => null) },
    })
    for (const figure of [told.total, told.imbalance, told.lineOfPull, told.driftOfSideDifference, told.rateOfTotal]) {
      expect(figure?.value).toBeNull()
      expect(figure?.verdict.state).toBe('unknown')
      expect(figure?.waiting).toContain('operator side')
    }
  })

  it('too short a stretch tells nothing, and says so', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 9 }), (n) => {
        const { total } = compute({ timesS: times(n, 10), forces: { singleN: times(n, 1) } })
        expect(total.value).toBeNull()
        expect(total.waiting).not.toBeNull()
      }),
    )
  })
})
