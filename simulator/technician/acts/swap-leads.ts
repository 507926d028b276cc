import { z } from 'zod'
import { act, done } from '../act.ts'
import { AT_THE_CABINET, SIDE_WORDS, side } from '../arguments.ts'

export const swapLeads = act({
  id: 'swap-leads',
  title: 'Exchange the two signal leads of a cell',
  seconds: 180,
  caution: null,
  needs: AT_THE_CABINET,
  args: z.strictObject({ side }),
  run(bench, args) {
    const cell = bench.parameters.cells[args.side]
    cell.polarity = -cell.polarity
    return done(`The signal leads of the ${SIDE_WORDS[args.side]} cell are exchanged.`)
  },
})
