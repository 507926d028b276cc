import fc from 'fast-check'
import { expect, test } from 'vitest'
import { assumedCapacity } from '../../gateway/cli/assumed-capacity.ts'

test.each([
  [122, 200],
  [80, 100],
  [160, 200],
  [161, 500],
  [400, 500],
  [401, 1000],
  [0.003, 0.005],
])('largest force %d is assumed to be of a cell of %d', (force, capacity) => {
  expect(assumedCapacity(force)).toBe(capacity)
})

test('leaves a fifth of the capacity free, and at least 32 % in use', () => {
  fc.assert(
    fc.property(fc.double({ min: 1e-6, max: 1e9, noNaN: true }), (force) => {
      const share = force / assumedCapacity(force)
      expect(share).toBeLessThanOrEqual(0.8 * (1 + 1e-12))
      // The widest step is from 2 to 5.
      expect(share).toBeGreaterThan((0.8 * 2) / 5 - 1e-12)
    }),
  )
})
