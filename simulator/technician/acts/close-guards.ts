import { z } from 'zod'
import { act, done } from '../act.ts'

export const closeGuards = act({
  id: 'close-guards',
  title: 'Close the guards',
  seconds: 20,
  caution: null,
  needs: { power: ['locked out'], free: true },
  args: z.strictObject({}),
  run(bench) {
    bench.locks.guards = 'closed'
    return done('The guards are closed.')
  },
})
