import { z } from 'zod'
import { act, done } from '../act.ts'
import { AT_THE_ROLLER, degrees, radians, SIDE_WORDS, side } from '../arguments.ts'

/** How well a cell is turned to a mark by hand, ° (1 σ, common practice). */
const TURNED_WITHIN = 0.3

/** Clamp loosened with the roller's weight held, cell turned, clamp tightened: it stands where it was set within a few tenths. */
export const turnArrow = act({
  id: 'turn-arrow',
  title: 'Turn a load arrow',
  seconds: 480,
  caution: 'Locked out; hold the roller’s weight while the clamp is loose.',
  needs: { ...AT_THE_ROLLER, free: true },
  args: z.strictObject({ side, to_deg: degrees }),
  run(bench, args) {
    bench.parameters.cells[args.side].arrow = radians(args.to_deg + TURNED_WITHIN * bench.random.gaussian())
    return done(`The ${SIDE_WORDS[args.side]} arrow is set to ${args.to_deg}°; measure it to know where it stands.`)
  },
})
