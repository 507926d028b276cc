import { z } from 'zod'
import { act } from '../act.ts'
import { AT_THE_ROLLER, SIDE_WORDS, side } from '../arguments.ts'
import { INSTRUMENTS, measured, spoken } from '../measure.ts'

export const measureClearance = act({
  id: 'measure-clearance',
  title: 'Measure the end clearance with a feeler gauge',
  seconds: 60,
  caution: 'Locked out: fingers at the shaft end.',
  needs: AT_THE_ROLLER,
  args: z.strictObject({ side }),
  run(bench, args) {
    const { ends, growth } = bench.fit
    // The end that is free to move has given the shaft's growth away; the other keeps what it was set to.
    const grown = growth.floating === args.side ? bench.state.shaftGrowth : 0
    const gap = Math.max(0, ends[args.side].clearance - grown) * 1000
    const reading = measured('end-clearance', gap, INSTRUMENTS.feelerGauge, bench.random, args.side)
    return { words: `End clearance, ${SIDE_WORDS[args.side]}: ${spoken(reading)}.`, readings: [reading] }
  },
})
