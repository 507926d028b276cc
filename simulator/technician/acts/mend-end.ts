import { z } from 'zod'
import { act, done } from '../act.ts'
import { AT_THE_ROLLER, SIDE_WORDS, side } from '../arguments.ts'

/** The small things an eye finds, put right. */
export const mendEnd = act({
  id: 'mend-end',
  title: 'Seat bushing and cable of one end, clear what touches',
  seconds: 420,
  caution: 'Locked out; hold the roller’s weight while the clamp is loose.',
  needs: { ...AT_THE_ROLLER, free: true },
  args: z.strictObject({ side }),
  run(bench, args) {
    Object.assign(bench.fit.ends[args.side], { bushingFlush: true, cableSeated: true, nothingTouches: true })
    return done(`${SIDE_WORDS[args.side]}: bushing flush with its split in line, cable seated, nothing touches.`)
  },
})
