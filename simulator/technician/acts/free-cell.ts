import { z } from 'zod'
import { act, done } from '../act.ts'
import { AT_THE_ROLLER, SIDE_WORDS, side } from '../arguments.ts'
import { soundEnd } from '../repair.ts'

export const freeCell = act({
  id: 'free-cell',
  title: 'Free a twisted cell',
  seconds: 420,
  caution: 'Locked out; hold the roller’s weight while the clamp is loose.',
  needs: { ...AT_THE_ROLLER, free: true },
  args: z.strictObject({ side }),
  run(bench, args) {
    const { freePlay, bindShare, bindFriction } = soundEnd(bench, args.side)
    Object.assign(bench.fit.ends[args.side], { freePlay, bindShare, bindFriction })
    return done(`The ${SIDE_WORDS[args.side]} cell was loosened, let find its own line and clamped again.`)
  },
})
