import { z } from 'zod'
import { act, done } from '../act.ts'
import { AT_THE_ROLLER, SIDE_WORDS, side } from '../arguments.ts'

const OF_A_CABLE = ['open', 'polarity', 'leadLoss', 'mainsPickup', 'breaks', 'drivePickup'] as const

/** A new cable, connected as drawn: open, lossy, humming or exchanged leads are gone with the old one. */
export const replaceCable = act({
  id: 'replace-cable',
  title: 'Replace a cell’s cable',
  seconds: 2400,
  caution: 'Locked out: the cable runs beside the roller.',
  needs: AT_THE_ROLLER,
  args: z.strictObject({ side }),
  run(bench, args) {
    const sound = bench.soundZone.cells[args.side]
    for (const name of OF_A_CABLE) Object.assign(bench.parameters.cells[args.side], { [name]: sound[name] })
    bench.fit.ends[args.side].cableSeated = true
    return done(`The ${SIDE_WORDS[args.side]} cell has a new cable, connected as drawn.`)
  },
})
