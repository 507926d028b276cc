import { z } from 'zod'
import { act, type Reading } from '../act.ts'
import { SIDE_WORDS, side } from '../arguments.ts'

/** What stands on the amplifier's front: exact, because it is set and not measured. */
export const readKnobs = act({
  id: 'read-knobs',
  title: 'Read the amplifier’s own settings',
  seconds: 40,
  caution: null,
  needs: {},
  args: z.strictObject({ side }),
  run(bench, args) {
    const cell = bench.parameters.cells[args.side]
    const set = (figure: string, value: number, unit: string | null): Reading => ({
      figure,
      side: args.side,
      value,
      unit,
      u: 0,
    })
    const readings = [
      set('filter', cell.filterHz, 'Hz'),
      set('range', cell.rangeHigh, 'mV/V'),
      set('knob-zero', cell.knobZero, 'mV/V'),
      set('knob-span', cell.knobGain, null),
    ]
    const words = readings.map(({ figure, value, unit }) => `${figure} ${value}${unit === null ? '' : ` ${unit}`}`)
    return { words: `${SIDE_WORDS[args.side]} channel: ${words.join(', ')}.`, readings }
  },
})
