import { z } from 'zod'
import { act, done } from '../act.ts'

export const takeWeightOff = act({
  id: 'take-weight-off',
  title: 'Take the weight and its rope off',
  seconds: 60,
  caution: 'Lower it, do not drop it.',
  needs: { power: ['locked out'], guards: 'open' },
  args: z.strictObject({}),
  run(bench) {
    bench.hands.rope = null
    return done('The roller is bare of rope and weight.')
  },
})
