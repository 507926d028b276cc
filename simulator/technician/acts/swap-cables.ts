import { z } from 'zod'
import { act, done } from '../act.ts'
import { AT_THE_CABINET } from '../arguments.ts'

/** Exchanges which cell each channel reads; done twice, everything is as before. */
export const swapCables = act({
  id: 'swap-cables',
  title: 'Swap the two cells at the amplifier',
  seconds: 240,
  caution: 'Mark the cables first, and swap them back.',
  needs: AT_THE_CABINET,
  args: z.strictObject({}),
  run(bench) {
    const { cables } = bench.parameters
    const now = cables ?? { drive_side: 'drive_side', operator_side: 'operator_side' }
    bench.parameters.cables = { drive_side: now.operator_side, operator_side: now.drive_side }
    return done('Each channel now reads the cell that the other one read.')
  },
})
