import { z } from 'zod'
import { act, done } from '../act.ts'
import { AT_THE_ROLLER, SIDE_WORDS, side } from '../arguments.ts'

/** The cable is moved until it is let go, so that whoever watches the channel has time to see. */
export const wiggleCable = act({
  id: 'wiggle-cable',
  title: 'Wiggle a cable',
  seconds: 20,
  caution: 'Locked out: the cable runs beside the roller.',
  needs: AT_THE_ROLLER,
  args: z.strictObject({ side }),
  run(bench, args) {
    const { cables } = bench.hands
    bench.hands.cables = { ...cables, [args.side]: { ...cables[args.side], wiggled: true } }
    return done(`The ${SIDE_WORDS[args.side]} cable is moved, from the cell to the cabinet.`)
  },
})
