import { z } from 'zod'
import { act, done } from '../act.ts'
import { AT_THE_ROLLER } from '../arguments.ts'

export const rethreadAsDrawn = act({
  id: 'rethread-as-drawn',
  title: 'Thread the web along the drawn path',
  seconds: 600,
  caution: 'Locked out: nip points are everywhere along the path.',
  needs: { ...AT_THE_ROLLER, web: ['slack', 'off'], roller: 'on the cells', free: true },
  args: z.strictObject({}),
  run(bench) {
    const { before, after } = structuredClone(bench.soundZone.path)
    const { measuring, after: winding } = bench.parameters.path
    measuring.turns = bench.soundZone.path.measuring.turns
    const radius = bench.parameters.winding === undefined ? after.radius : winding.radius
    bench.parameters.path.before = before
    bench.parameters.path.after = { ...after, radius }
    bench.machine.refresh()
    bench.hands.webOff = false
    return done('The web lies on the drawn path, slack.')
  },
})
