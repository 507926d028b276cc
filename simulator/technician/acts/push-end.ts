import { z } from 'zod'
import { times } from '../../physics/vector.ts'
import { act, done } from '../act.ts'
import { degrees, directionOf, SIDE_WORDS, side } from '../arguments.ts'

/** The push stays until the end is let go, so that whoever watches the channels has time to see. */
export const pushEnd = act({
  id: 'push-end',
  title: 'Push one end of the roller',
  seconds: 20,
  caution: 'Locked out; push the shaft end with the flat hand, never at a nip.',
  needs: { power: ['locked out'], guards: 'open', roller: 'on the cells' },
  args: z.strictObject({
    side,
    newtons: z.number().min(0).max(2000).default(100),
    direction: z.union([z.literal('as the web pulls'), degrees]).default('as the web pulls'),
  }),
  run(bench, args) {
    const push = times(directionOf(bench, args.direction), args.newtons)
    bench.hands.push = { ...bench.hands.push, [args.side]: push }
    const way = args.direction === 'as the web pulls' ? 'the way the web pulls' : `towards ${args.direction}°`
    return done(`Pushing the ${SIDE_WORDS[args.side]} end with about ${args.newtons} N, ${way}.`)
  },
})
