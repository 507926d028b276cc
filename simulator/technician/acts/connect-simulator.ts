import { z } from 'zod'
import { act, done } from '../act.ts'
import { AT_THE_CABINET, SIDE_WORDS, side } from '../arguments.ts'

/** The bridge simulator stays in the cell's place until `disconnect-instruments`, so that the channel can be watched. */
export const connectSimulator = act({
  id: 'connect-simulator',
  title: 'Put a bridge simulator in the cell’s place',
  seconds: 180,
  caution: null,
  needs: AT_THE_CABINET,
  args: z.strictObject({ side, mv_v: z.number().min(-3).max(3) }),
  run(bench, args) {
    const { cables } = bench.hands
    bench.hands.cables = { ...cables, [args.side]: { ...cables[args.side], simulator: args.mv_v, shunt: null } }
    return done(`A bridge simulator gives ${args.mv_v} mV/V on the ${SIDE_WORDS[args.side]} cable.`)
  },
})
