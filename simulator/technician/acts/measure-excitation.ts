import { z } from 'zod'
import { act } from '../act.ts'
import { AT_THE_CABINET, SIDE_WORDS, side } from '../arguments.ts'
import { INSTRUMENTS, measured, spoken } from '../measure.ts'

export const measureExcitation = act({
  id: 'measure-excitation',
  title: 'Measure the excitation at the cell',
  seconds: 120,
  caution: null,
  needs: AT_THE_CABINET,
  args: z.strictObject({ side }),
  run(bench, args) {
    const { excitation, leadLoss } = bench.parameters.cells[args.side]
    const arrives = excitation * (1 - leadLoss)
    const reading = measured('excitation', arrives, INSTRUMENTS.voltmeter, bench.random, args.side)
    return { words: `Excitation at the ${SIDE_WORDS[args.side]} cell: ${spoken(reading)}.`, readings: [reading] }
  },
})
