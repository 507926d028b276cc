import { describe, expect, it } from 'vitest'
import { foundAt } from './probit.ts'
import { exactInterval } from './share.ts'

describe('the exact interval of a share', () => {
  it.each([
    // Nothing of 10: 1 − 0.025^(1/10); all of 10: 0.025^(1/10). By hand.
    [0, 10, 0, 0.3085],
    [10, 10, 0.6915, 1],
    // scipy.stats.binomtest(4, 20).proportion_ci(method='exact'), from memory.
    [4, 20, 0.0573, 0.4366],
  ])('%d of %d', (count, of, low, high) => {
    const [from, to] = exactInterval(count, of)
    expect(from).toBeCloseTo(low, 3)
    expect(to).toBeCloseTo(high, 3)
  })
})

describe('the size from which on a fault is found', () => {
  it('lies between what was missed and what was found', () => {
    const trials = [0.3, 0.4, 0.5, 0.6, 1.5, 2, 3].map((times) => ({ times, isFound: times > 1 }))
    const at = foundAt(trials)
    expect(at?.half).toBeGreaterThan(0.6)
    expect(at?.half).toBeLessThan(1.5)
  })
  it('is not told where all or none were found', () => {
    expect(foundAt([{ times: 1, isFound: true }])).toBeNull()
  })
})
