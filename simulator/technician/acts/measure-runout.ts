import { z } from 'zod'
import { act } from '../act.ts'
import { AT_THE_ROLLER } from '../arguments.ts'
import { INSTRUMENTS, measured, spoken } from '../measure.ts'

/**
 * Total indicated runout by dial. A shell e off its centre takes up and gives e of web at every turn; with the span's
 * stiffness EA/L that is the ripple of the tension, so the dial shows twice the ripple × L/EA.
 */
export const measureRunout = act({
  id: 'measure-runout',
  title: 'Measure the roller’s runout by dial',
  seconds: 180,
  caution: 'Locked out; turn the roller slowly by hand.',
  needs: { ...AT_THE_ROLLER, roller: 'on the cells', web: ['off'], free: true },
  args: z.strictObject({}),
  run(bench) {
    const { roller, spanLength, web } = bench.parameters
    const eccentric = (Math.abs(roller.runout.amplitude) * spanLength) / (web.stiffnessPerWidth * web.width)
    const reading = measured('runout', 2 * eccentric * 1000, INSTRUMENTS.dialIndicator, bench.random)
    return { words: `Total indicated runout ${spoken(reading)}.`, readings: [reading] }
  },
})
