import { z } from 'zod'
import { act, done } from '../act.ts'
import { AT_THE_ROLLER } from '../arguments.ts'

export const balanceRoller = act({
  id: 'balance-roller',
  title: 'Exchange the roller for a balanced, true one',
  seconds: 5400,
  caution: 'Locked out; slings and two people.',
  needs: { ...AT_THE_ROLLER, web: ['off'], free: true },
  args: z.strictObject({}),
  run(bench) {
    const { runout, unbalance, friction } = structuredClone(bench.soundZone.roller)
    Object.assign(bench.parameters.roller, { runout, unbalance, friction })
    return done('A roller that was balanced and ground is fitted in its place.')
  },
})
