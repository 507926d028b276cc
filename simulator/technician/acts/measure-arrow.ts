import { z } from 'zod'
import { act } from '../act.ts'
import { AT_THE_ROLLER, directionWords, inDegrees, radians, SIDE_WORDS, side, wrapped } from '../arguments.ts'
import { INSTRUMENTS, measured } from '../measure.ts'

export const measureArrow = act({
  id: 'measure-arrow',
  title: 'Measure a load arrow with the inclinometer',
  seconds: 90,
  caution: 'Locked out: the inclinometer lies at the shaft end.',
  needs: AT_THE_ROLLER,
  args: z.strictObject({ side }),
  run(bench, args) {
    const arrow = wrapped(inDegrees(bench.parameters.cells[args.side].arrow))
    const reading = measured('arrow-angle', arrow, INSTRUMENTS.inclinometer, bench.random, args.side)
    const words = `${directionWords(radians(Number(reading.value)))}, ± ${(2 * (reading.u ?? 0)).toFixed(1)}° (k = 2)`
    return { words: `Arrow of the ${SIDE_WORDS[args.side]} cell: ${words}.`, readings: [reading] }
  },
})
