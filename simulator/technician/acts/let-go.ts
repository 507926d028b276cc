import { z } from 'zod'
import { vec } from '../../physics/vector.ts'
import { act, done } from '../act.ts'

export const letGo = act({
  id: 'let-go',
  title: 'Let go of both ends',
  seconds: 2,
  caution: null,
  needs: {},
  args: z.strictObject({}),
  run(bench) {
    bench.hands.push = { drive_side: vec(0, 0), operator_side: vec(0, 0) }
    return done('Nobody pushes the roller.')
  },
})
