import { z } from 'zod'
import { act, done } from '../act.ts'

export const takeWebOff = act({
  id: 'take-web-off',
  title: 'Take the web off',
  seconds: 240,
  caution: 'Locked out; a knife cuts more than web.',
  needs: { power: ['locked out'], guards: 'open', web: ['slack'] },
  args: z.strictObject({}),
  run(bench) {
    bench.hands.webOff = true
    return done('The web is off the measuring roller.')
  },
})
