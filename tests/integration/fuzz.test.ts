import { expect, it, vi } from 'vitest'
import { runTarget } from '../fuzz/run-target.ts'
import { TARGETS } from '../fuzz/targets/all.ts'

vi.setConfig({ testTimeout: 300_000 })

/** `npm run fuzz` feeds all of them; the suite a hundredth. */
const SHARE = 0.01

it.each(TARGETS.map((target) => [target.name, target] as const))(
  'damaged %s crash and hang nothing',
  async (_, target) => {
    const inputs = Math.ceil(target.inputs * SHARE)
    const result = await runTarget(target, inputs, 2)
    expect(result.taken + result.refused).toBe(inputs)
    expect(result.refused, 'a run in which nothing was wrong proves nothing').toBeGreaterThan(0)
    expect(result.taken, 'nor one in which nothing was right').toBeGreaterThan(0)
  },
)

it('a whole run feeds at least 100 000 inputs', () => {
  expect(TARGETS.reduce((sum, { inputs }) => sum + inputs, 0)).toBeGreaterThanOrEqual(100_000)
})
