import { describe, expect, test } from 'vitest'
import { MIN_BLOCKS, NoiseBlocks } from '../../lib/statistics/noise-blocks.ts'

const SERIES = [
  97.547, 100.315, 101.865, 98.219, 102.482, 97.697, 98.649, 100.88, 101.145, 101.456, 99.879, 101.618, 98.296, 101.699,
  99.755, 98.128, 99.583, 99.037, 99.651, 103.546, 101.916, 99.543, 102.082, 100.855, 101.286, 102.823, 100.769,
  104.376, 100.61, 104.429,
]
const NINETY = [...SERIES, ...[...SERIES].reverse(), ...SERIES.map((x) => (x * x) / 100)]

describe('NoiseBlocks', () => {
  test('pool the residuals of numpy’s polyfit over nine blocks of ten (numpy 2.4.6, computed)', () => {
    const blocks = new NoiseBlocks(1000, 10_000)
    NINETY.forEach((x, i) => {
      blocks.add(i * 100, x)
    })
    blocks.add(9000, 100)
    const told = blocks.estimate(-1)
    expect(told).toMatchObject({ blocks: 9, samples: 90, dof: 8 })
    expect(told?.sigma).toBeCloseTo(2.424166322107993, 10)
    expect(told?.peakToPeak).toBeCloseTo(10.945510461575793, 10)
    expect(told?.u).toBeCloseTo(0.3168890100108551, 10)
  })
  test('a steep ramp is slow motion, not noise', () => {
    const blocks = new NoiseBlocks(1000, 10_000)
    for (let i = 0; i <= 600; i += 1) blocks.add(i * 10, 1e5 + 40 * i + (i % 2 === 0 ? 0.01 : -0.01))
    expect(blocks.estimate(-1)?.sigma).toBeCloseTo(0.01, 3)
  })
  test('a break throws the open block away and never joins its halves', () => {
    const blocks = new NoiseBlocks(1000, 100_000)
    for (let second = 0; second < 20; second += 1)
      for (let i = 0; i < 10; i += 1) {
        if (i === 9) blocks.breakOff()
        else blocks.add(second * 1000 + i * 100, 100 * second)
      }
    expect(blocks.countSince(-1)).toBe(0)
    expect(blocks.estimate(-1)).toBeUndefined()
  })
  test('tells nothing under four blocks, and only of the window asked for', () => {
    const blocks = new NoiseBlocks(1000, 5000)
    for (let i = 0; i <= 30; i += 1) blocks.add(i * 100, i % 3)
    expect(blocks.countSince(-1)).toBe(MIN_BLOCKS - 1)
    expect(blocks.estimate(-1)).toBeUndefined()
    for (let i = 31; i <= 40; i += 1) blocks.add(i * 100, i % 3)
    expect(blocks.estimate(-1)?.blocks).toBe(MIN_BLOCKS)
    expect(blocks.estimate(2000)).toBeUndefined()
  })
  test('tells of a rate too low for its blocks', () => {
    const blocks = new NoiseBlocks(1000, 5000)
    for (let i = 0; i < 20; i += 1) blocks.add(i * 500, i)
    expect(blocks.fullestBlock).toBe(2)
    expect(blocks.countSince(-1)).toBe(0)
  })
})
