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
    const gap = Math.max(0, bench.fit.ends[args.side].clearance) * 1000
    const reading = measured('end-clearance', gap, INSTRUMENTS.feelerGauge, bench.random, args.side)
    return { words: `End clearance, ${SIDE_WORDS[args.side]}: ${spoken(reading)}.`, readings: [reading] }
  },
})
