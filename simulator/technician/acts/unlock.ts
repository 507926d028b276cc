import { z } from 'zod'
import { act, done } from '../act.ts'

/** Guards closed, lock off; the drives stay off until they are enabled. */
export const unlock = act({
  id: 'unlock',
  title: 'Close the guards and unlock',
  seconds: 120,
  caution: 'Everybody away from the rollers, nothing left on them.',
  needs: { power: ['locked out'], free: true },
  args: z.strictObject({}),
  run(bench) {
    bench.locks.guards = 'closed'
    bench.locks.lockedOut = false
    return done('Guards closed, lock off. The line stands, the drives are off.')
  },
})
