import { z } from 'zod'
import { act, done } from '../act.ts'
import { inWords } from '../arguments.ts'

/** Warming up is waiting, running or not. The machine's time goes by faster than the clock. */
export const wait = act({
  id: 'wait',
  title: 'Let time pass',
  seconds: 0,
  caution: null,
  needs: {},
  args: z.strictObject({ seconds: z.number().positive().max(14_400) }),
  run(bench, { seconds }) {
    bench.pass(seconds)
    return done(`${inWords(seconds)} later.`)
  },
})
