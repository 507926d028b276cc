import { z } from 'zod'
import { act, done } from '../act.ts'
import { AT_THE_ROLLER, radians, SIDE_WORDS, side, wrapped } from '../arguments.ts'
import type { Bench, Side } from '../bench.ts'

/** How well a new cell is set to the old one's arrow, ° (1 σ, common practice). */
const SET_WITHIN = 0.3

/** What belongs to a cell, and not to its cable, its channel or its arrow. */
const OF_A_CELL = [
  'capacity',
  'ratedOutput',
  'zeroBalance',
  'gain',
  'zeroPerKelvin',
  'spanPerKelvin',
  'warmerBy',
  'thermalTime',
  'inputResistance',
  'outputResistance',
  'insulation',
] as const

/** The new cell is like the old one was when it was sound, so that its certificate still holds. */
export const replaceCell = act({
  id: 'replace-cell',
  title: 'Replace a cell',
  seconds: 3600,
  caution: 'Locked out; lift the roller’s weight off before the clamp is opened.',
  needs: { ...AT_THE_ROLLER, web: ['off'], free: true },
  args: z.strictObject({ side }),
  run(bench, args) {
    putNewCell(bench, args.side)
    return done(`A new ${SIDE_WORDS[args.side]} cell of the same kind is fitted; measure its arrow, take its zero.`)
  },
})

function putNewCell(bench: Bench, side: Side): void {
  const cell = bench.parameters.cells[side]
  const sound = bench.soundZone.cells[side]
  for (const name of OF_A_CELL) cell[name] = sound[name]
  cell.arrow += radians(wrapped(SET_WITHIN * bench.random.gaussian()))
  const end = bench.fit.ends[side]
  Object.assign(end, { clampsCrosswise: true, boltsTight: true, connectorDry: true, looseness: 0 })
}
