import { z } from 'zod'
import { type RopeLoad, ropeArc } from '../../physics/hands.ts'
import { act, type Observation } from '../act.ts'
import { degrees, radians } from '../arguments.ts'
import type { Bench } from '../bench.ts'
import { NotPossible } from '../not-possible.ts'

/** A weight of the marked mass: true to a part in ten thousand (1 σ), the same one every time. */
const MASS_U = 1e-4

const path = z.union([
  z.literal('web'),
  /** Directions of travel towards and away from the roller. */
  z.strictObject({ arriving_deg: degrees, leaving_deg: degrees }),
])

/** More or less weight on the rope than before decides which way it moved, and with it the sign of friction. */
export const hangWeight = act({
  id: 'hang-weight',
  title: 'Hang a weight on a rope over the roller',
  seconds: 90,
  caution: 'Locked out; nobody under the weight, hang it low.',
  needs: { power: ['locked out'], guards: 'open', web: ['off', 'slack'], roller: 'on the cells' },
  args: z.strictObject({
    kg: z.number().positive().max(2000),
    /** From mid-span towards the operator side. */
    at_mm: z.number().min(-5000).max(5000).default(0),
    path: path.default('web'),
  }),
  run(bench, { kg, at_mm, path: said }) {
    const before = bench.hands.rope
    const along = ropePath(said, bench.parameters.path.measuring.radius)
    const moved = before !== null && kg < before.mass ? 'up' : 'down'
    bench.hands.rope = { mass: kg, at: at_mm / 1000, path: along, moved }
    return seen(bench, kg, at_mm)
  },
})

function ropePath(said: z.output<typeof path>, radius: number): RopeLoad['path'] {
  if (said === 'web') return said
  const directions = { arriving: radians(said.arriving_deg), leaving: radians(said.leaving_deg) }
  try {
    ropeArc(directions.arriving, directions.leaving, radius)
  } catch (error) {
    throw new NotPossible(error instanceof Error ? error.message : String(error))
  }
  return directions
}

function seen(bench: Bench, kg: number, at: number): Observation {
  const where = at === 0 ? 'at mid-span' : `${Math.abs(at)} mm from mid-span, ${at > 0 ? 'operator' : 'drive'} side`
  const way = bench.hands.rope?.moved === 'up' ? 'coming up' : 'going down'
  return {
    words: `${kg} kg hang on the rope ${where}, ${way}.`,
    readings: [{ figure: 'mass', value: kg, unit: 'kg', u: kg * MASS_U }],
  }
}
