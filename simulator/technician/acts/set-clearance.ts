import { z } from 'zod'
import { act, done } from '../act.ts'
import { AT_THE_ROLLER, SIDE_WORDS, side } from '../arguments.ts'

/** How well the shaft is set along its axis by hand, mm (1 σ, common practice). */
const SET_WITHIN = 0.05

export const setClearance = act({
  id: 'set-clearance',
  title: 'Set the end clearance',
  seconds: 600,
  caution: 'Locked out; hold the roller’s weight while the clamp is loose.',
  needs: { ...AT_THE_ROLLER, free: true },
  args: z.strictObject({ side, to_mm: z.number().min(0.5).max(6) }),
  run(bench, args) {
    const set = args.to_mm + SET_WITHIN * bench.random.gaussian()
    bench.fit.ends[args.side].clearance = set / 1000
    return done(`End clearance, ${SIDE_WORDS[args.side]}, set to ${args.to_mm} mm.`)
  },
})
