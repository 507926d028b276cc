import { z } from 'zod'
import { act, done } from '../act.ts'
import { AT_THE_CABINET, SIDE_WORDS, side } from '../arguments.ts'
import { NotPossible } from '../not-possible.ts'

/** The amplifier's own settings, on its front: nothing reaches it over the wire. */
export const turnKnob = act({
  id: 'turn-knob',
  title: 'Set the amplifier’s own filter, range, zero or span',
  seconds: 60,
  caution: 'Write down what stood there before.',
  needs: AT_THE_CABINET,
  args: z.strictObject({
    side,
    filter_hz: z.number().min(0.1).max(400).optional(),
    range_mv_v: z.number().min(0.1).max(10).optional(),
    zero_mv_v: z.number().min(-3).max(3).optional(),
    span_factor: z.number().min(0.1).max(10).optional(),
  }),
  run(bench, { side, filter_hz, range_mv_v, zero_mv_v, span_factor }) {
    const said = [filter_hz, range_mv_v, zero_mv_v, span_factor].filter((value) => value !== undefined)
    if (said.length === 0) throw new NotPossible('turn-knob: say filter_hz, range_mv_v, zero_mv_v or span_factor')
    Object.assign(bench.parameters.cells[side], {
      ...(filter_hz === undefined ? {} : { filterHz: filter_hz }),
      ...(range_mv_v === undefined ? {} : { rangeLow: -range_mv_v, rangeHigh: range_mv_v }),
      ...(zero_mv_v === undefined ? {} : { knobZero: zero_mv_v }),
      ...(span_factor === undefined ? {} : { knobGain: span_factor }),
    })
    return done(`The ${SIDE_WORDS[side]} channel is set.`)
  },
})
