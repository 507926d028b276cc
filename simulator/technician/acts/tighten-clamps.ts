import { z } from 'zod'
import { act, done } from '../act.ts'
import { AT_THE_ROLLER, BOTH_SIDES } from '../arguments.ts'

export const tightenClamps = act({
  id: 'tighten-clamps',
  title: 'Tighten clamps and bolts crosswise',
  seconds: 360,
  caution: 'Locked out; hold the roller’s weight while a clamp is loose.',
  needs: { ...AT_THE_ROLLER, free: true },
  args: z.strictObject({}),
  run(bench) {
    for (const side of BOTH_SIDES) {
      const end = bench.fit.ends[side]
      end.clampsCrosswise = true
      end.boltsTight = true
      end.looseness = 0
    }
    return done('All clamps and bolts are tightened crosswise, with the roller’s weight held.')
  },
})
