import { z } from 'zod'
import { act, done } from '../act.ts'

export const liftRoller = act({
  id: 'lift-roller',
  title: 'Lift the roller off the cells',
  seconds: 900,
  caution: 'Locked out; slings and two people: the roller’s weight is told in the zone’s geometry.',
  needs: { power: ['locked out'], guards: 'open', web: ['off'], roller: 'on the cells', free: true },
  args: z.strictObject({}),
  run(bench) {
    bench.hands.rollerLifted = true
    return done('The roller hangs in its slings; the cells carry nothing.')
  },
})
