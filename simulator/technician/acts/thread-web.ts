import { z } from 'zod'
import { act, done } from '../act.ts'

export const threadWeb = act({
  id: 'thread-web',
  title: 'Thread the web',
  seconds: 420,
  caution: 'Locked out: nip points are everywhere along the path.',
  needs: { power: ['locked out'], guards: 'open', web: ['off'], roller: 'on the cells', free: true },
  args: z.strictObject({}),
  run(bench) {
    bench.hands.webOff = false
    return done('The web lies on its path, slack.')
  },
})
