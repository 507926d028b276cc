import { z } from 'zod'
import { act, done } from '../act.ts'
import { AT_THE_ROLLER } from '../arguments.ts'

export const cleanBearing = act({
  id: 'clean-bearing',
  title: 'Clean or replace the bearings',
  seconds: 2700,
  caution: 'Locked out; the roller is heavy while its bearings are off.',
  needs: { ...AT_THE_ROLLER, web: ['off'], free: true },
  args: z.strictObject({}),
  run(bench) {
    bench.parameters.roller.dragTorque = bench.soundZone.roller.dragTorque
    bench.parameters.roller.viscousDrag = bench.soundZone.roller.viscousDrag ?? 0
    return done('Bearings cleaned, seals and hoses clear of the roller.')
  },
})
