import { z } from 'zod'
import { act } from '../act.ts'
import { AT_THE_CABINET, SIDE_WORDS, side } from '../arguments.ts'
import { INSTRUMENTS, measured, spoken } from '../measure.ts'

export const measureInsulation = act({
  id: 'measure-insulation',
  title: 'Measure the insulation, bridge to body and shield',
  seconds: 180,
  caution: 'Disconnect the amplifier first; at most 50 V on the bridge.',
  needs: AT_THE_CABINET,
  args: z.strictObject({ side }),
  run(bench, args) {
    const megohm = bench.parameters.cells[args.side].insulation / 1e6
    const reading = measured('insulation', megohm, INSTRUMENTS.insulationTester, bench.random, args.side)
    return { words: `${SIDE_WORDS[args.side]} insulation: ${spoken(reading)}.`, readings: [reading] }
  },
})
