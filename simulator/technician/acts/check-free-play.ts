import { z } from 'zod'
import { act } from '../act.ts'
import { AT_THE_ROLLER, SIDE_WORDS, side } from '../arguments.ts'
import { seen } from '../measure.ts'

/** Less than this a hand does not feel, m. */
const FELT_FROM = 5e-5

export const checkFreePlay = act({
  id: 'check-free-play',
  title: 'Feel for free play at a cell',
  seconds: 30,
  caution: 'Locked out: hands at the roller.',
  needs: { ...AT_THE_ROLLER, roller: 'on the cells' },
  args: z.strictObject({ side }),
  run(bench, args) {
    const plays = bench.fit.ends[args.side].freePlay >= FELT_FROM
    const words = plays ? 'there is free play' : 'no free play: nothing gives'
    return {
      words: `${SIDE_WORDS[args.side]}: ${words}.`,
      readings: [seen('free-play', plays, args.side)],
    }
  },
})
