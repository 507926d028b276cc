import { z } from 'zod'
import { HAND_ACCELERATION } from '../../physics/manual.ts'
import { act, done } from '../act.ts'

/** Normal stop: the web stands under tension, the drives stay enabled. */
export const stop = act({
  id: 'stop',
  title: 'Stop the line',
  seconds: 10,
  caution: null,
  needs: {},
  args: z.strictObject({}),
  run(bench) {
    const { speed } = bench.machine.command
    bench.command({ speed: 0 })
    bench.pass(speed / HAND_ACCELERATION)
    return done('The line stands, the web is under tension, the drives are enabled.')
  },
})
