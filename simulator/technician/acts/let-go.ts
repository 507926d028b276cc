import { z } from 'zod'
import { vec } from '../../physics/vector.ts'
import { act, done } from '../act.ts'
import { BOTH_SIDES } from '../arguments.ts'

export const letGo = act({
  id: 'let-go',
  title: 'Let go of both ends and cables',
  seconds: 2,
  caution: null,
  needs: {},
  args: z.strictObject({}),
  run(bench) {
    bench.hands.push = { drive_side: vec(0, 0), operator_side: vec(0, 0) }
    for (const side of BOTH_SIDES) {
      const { cables } = bench.hands
      bench.hands.cables = { ...cables, [side]: { ...cables[side], wiggled: false } }
    }
    return done('Nobody has a hand at the roller or its cables.')
  },
})
