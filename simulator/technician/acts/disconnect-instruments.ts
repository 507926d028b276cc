import { z } from 'zod'
import { NO_HANDS } from '../../physics/hands.ts'
import { act, done } from '../act.ts'

export const disconnectInstruments = act({
  id: 'disconnect-instruments',
  title: 'Take simulator and shunt off, connect the cells again',
  seconds: 90,
  caution: null,
  needs: { power: ['stopped', 'locked out'] },
  args: z.strictObject({}),
  run(bench) {
    bench.hands.cables = NO_HANDS.cables
    return done('Both cells are connected to their cables again.')
  },
})
