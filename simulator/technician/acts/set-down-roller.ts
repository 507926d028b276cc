import { z } from 'zod'
import { act, done } from '../act.ts'

export const setDownRoller = act({
  id: 'set-down-roller',
  title: 'Set the roller down on the cells',
  seconds: 900,
  caution: 'Locked out; hold the weight until the clamps carry it, fingers out of the gap.',
  needs: { power: ['locked out'], guards: 'open', roller: 'lifted off' },
  args: z.strictObject({}),
  run(bench) {
    bench.hands.rollerLifted = false
    return done('The roller lies on both cells.')
  },
})
