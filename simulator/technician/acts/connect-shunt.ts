import { z } from 'zod'
import { shuntSignal } from '../../physics/hands.ts'
import { act } from '../act.ts'
import { AT_THE_CABINET, SIDE_WORDS, side } from '../arguments.ts'

/** Tolerance of a shunt resistor: 0.1 %, taken as a rectangle. */
const RESISTOR_U = 0.001 / Math.sqrt(3)

export const connectShunt = act({
  id: 'connect-shunt',
  title: 'Put a shunt resistor across one arm of the bridge',
  seconds: 90,
  caution: null,
  needs: AT_THE_CABINET,
  args: z.strictObject({ side, kilohm: z.number().min(10).max(1000).default(100) }),
  run(bench, args) {
    const { cables } = bench.hands
    bench.hands.cables = { ...cables, [args.side]: { ...cables[args.side], shunt: args.kilohm * 1000 } }
    const step = shuntSignal(bench.soundZone.cells[args.side].outputResistance, args.kilohm * 1000)
    return {
      words: `${args.kilohm} kΩ across one arm of the ${SIDE_WORDS[args.side]} bridge: it should add ${step.toFixed(4)} mV/V.`,
      readings: [{ figure: 'shunt-step', side: args.side, value: step, unit: 'mV/V', u: step * RESISTOR_U }],
    }
  },
})
