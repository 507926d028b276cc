import { z } from 'zod'
import { act } from '../act.ts'
import { AT_THE_CABINET, SIDE_WORDS, side } from '../arguments.ts'
import { seen } from '../measure.ts'

/** Core by core against the drawing: polarity, and whose cable it is by its mark. */
export const lookAtWiring = act({
  id: 'look-at-wiring',
  title: 'Trace a cable core by core against the drawing',
  seconds: 600,
  caution: null,
  needs: AT_THE_CABINET,
  args: z.strictObject({ side }),
  run(bench, args) {
    const { cables, cells } = bench.parameters
    const from = cables?.[args.side] ?? args.side
    const right = cells[from].polarity === bench.soundZone.cells[from].polarity
    const words = `The ${SIDE_WORDS[args.side]} channel is wired to the ${SIDE_WORDS[from]} cell`
    return {
      words: `${words}, its signal leads ${right ? 'as drawn' : 'exchanged'}.`,
      readings: [seen('wired-to', from, args.side), seen('leads-as-drawn', right, args.side)],
    }
  },
})
