import { z } from 'zod'
import { act } from '../act.ts'
import { BOTH_SIDES, SIDE_WORDS } from '../arguments.ts'
import { seen } from '../measure.ts'

/** The amplifier's own lamps: whether each channel's converter still converts. */
export const lookAtCounters = act({
  id: 'look-at-counters',
  title: 'Look at the amplifier’s counters',
  seconds: 45,
  caution: null,
  needs: {},
  args: z.strictObject({}),
  run(bench) {
    const readings = BOTH_SIDES.map((side) => seen('conversions-run', !bench.parameters.cells[side].stuck, side))
    const words = readings.map(({ side, value }) => `${SIDE_WORDS[side ?? 'drive_side']} ${value ? 'runs' : 'stands'}`)
    return { words: `Conversion counters: ${words.join(', ')}.`, readings }
  },
})
