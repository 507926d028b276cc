import { z } from 'zod'
import { act, done } from '../act.ts'

export const openGuards = act({
  id: 'open-guards',
  title: 'Open the guards',
  seconds: 20,
  caution: 'Only with the machine locked out.',
  needs: { power: ['locked out'] },
  args: z.strictObject({}),
  run(bench) {
    bench.locks.guards = 'open'
    return done('The guards are open.')
  },
})
