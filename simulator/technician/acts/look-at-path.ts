import { z } from 'zod'
import type { LayoutRoller } from '../../physics/layout.ts'
import { act } from '../act.ts'
import { seen } from '../measure.ts'

const WAYS = { cw: 'clockwise', ccw: 'counter-clockwise' } as const

/** Through the guard, from where it is safe: which roller turns or would turn which way, against the drawing. */
export const lookAtPath = act({
  id: 'look-at-path',
  title: 'Look at the web’s path against the drawing',
  seconds: 60,
  caution: 'From outside the guards while it runs.',
  needs: { web: ['tight', 'slack'] },
  args: z.strictObject({}),
  run(bench) {
    const now = Object.values(bench.parameters.path)
    const drawn = Object.values(bench.soundZone.path)
    const same = now.every((roller, i) => runsAlike(roller, drawn[i]))
    const turns = now.map(({ name, turns }) => `${name} ${WAYS[turns]}`).join(', ')
    return {
      words: `${same ? 'The web runs as drawn' : 'The web does not run as drawn'}: ${turns}.`,
      readings: [seen('path-as-drawn', same), seen('turns', turns)],
    }
  },
})

/** An eye sees another roller or another way round, not another millimetre. */
const SEEN_FROM = 0.02

function runsAlike(now: LayoutRoller, drawn: LayoutRoller | undefined): boolean {
  if (drawn === undefined || now.turns !== drawn.turns) return false
  return Math.hypot(now.centre.x - drawn.centre.x, now.centre.y - drawn.centre.y) < SEEN_FROM
}
