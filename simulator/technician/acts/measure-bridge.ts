import { z } from 'zod'
import { act, type Reading } from '../act.ts'
import { AT_THE_CABINET, SIDE_WORDS, side } from '../arguments.ts'
import { INSTRUMENTS, measured, seen, spoken } from '../measure.ts'

export const measureBridge = act({
  id: 'measure-bridge',
  title: 'Measure the bridge’s resistance, in and out',
  seconds: 180,
  caution: 'Disconnect the amplifier first; connect it again after.',
  needs: AT_THE_CABINET,
  args: z.strictObject({ side }),
  run(bench, args) {
    const cell = bench.parameters.cells[args.side]
    const read = (figure: string, ohm: number): Reading =>
      cell.open
        ? seen(figure, 'open circuit', args.side)
        : measured(figure, ohm, INSTRUMENTS.ohmmeter, bench.random, args.side)
    const into = read('input-resistance', cell.inputResistance)
    const out = read('output-resistance', cell.outputResistance)
    const words = `${SIDE_WORDS[args.side]} bridge: in ${spoken(into)}, out ${spoken(out)}.`
    return { words, readings: [into, out] }
  },
})
