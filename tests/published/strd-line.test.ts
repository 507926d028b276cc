import { expect, test } from 'vitest'
import { BivariateMoments } from '../../lib/statistics/bivariate-moments.ts'
import { straightLineOf } from '../../lib/statistics/line-moments.ts'
import { STRD_NORRIS, STRD_PONTIUS } from './strd-data.ts'

function lineThrough(x: readonly number[], y: readonly number[]) {
  const moments = new BivariateMoments()
  x.forEach((value, i) => {
    moments.add(value, y[i] ?? Number.NaN)
  })
  const line = straightLineOf(moments)
  if (line === undefined) throw new Error('no line')
  return line
}

test('NIST StRD Norris: slope, intercept, residual sd and sd of the slope to 10 digits', () => {
  const line = lineThrough(STRD_NORRIS.x, STRD_NORRIS.y)
  expect(line.slope / STRD_NORRIS.slope).toBeCloseTo(1, 12)
  expect(line.intercept / STRD_NORRIS.intercept).toBeCloseTo(1, 10)
  expect((line.residualSd ?? 0) / STRD_NORRIS.residualSd).toBeCloseTo(1, 10)
  expect((line.slopeU ?? 0) / STRD_NORRIS.slopeSd).toBeCloseTo(1, 10)
})

test('NIST/SEMATECH e-Handbook 4.6.1.5: straight line on the load-cell calibration Pontius, to the 5 digits printed', () => {
  const line = lineThrough(STRD_PONTIUS.x, STRD_PONTIUS.y)
  expect(line.intercept).toBeCloseTo(0.614969e-2, 6)
  expect(line.slope / 0.722103e-6).toBeCloseTo(1, 5)
  expect(line.residualSd).toBeCloseTo(0.0021712694, 7)
})
