import { z } from 'zod'
import { act, type Reading } from '../act.ts'
import { AT_THE_ROLLER, SIDE_WORDS, side } from '../arguments.ts'
import { seen } from '../measure.ts'

/** What eye and spanner find at one end. */
export const lookAtFit = act({
  id: 'look-at-fit',
  title: 'Look over one end: bushing, clamp, bolts, cable',
  seconds: 120,
  caution: 'Locked out: hands at the roller.',
  needs: AT_THE_ROLLER,
  args: z.strictObject({ side }),
  run(bench, args) {
    const end = bench.fit.ends[args.side]
    const readings: Reading[] = [
      seen('bushing-flush', end.bushingFlush, args.side),
      seen('bushing-split', end.bushingFlush, args.side),
      seen('clamps-crosswise', end.clampsCrosswise, args.side),
      seen('bolts-tight', end.boltsTight, args.side),
      seen('nothing-touches', end.nothingTouches, args.side),
      seen('cables-seated', end.cableSeated, args.side),
      seen('connector-dry', end.connectorDry, args.side),
    ]
    const bad = readings
      .filter(({ value }) => value === false)
      .map(({ figure }) => `not ${figure.replaceAll('-', ' ')}`)
    const words = bad.length === 0 ? 'nothing out of order' : bad.join(', ')
    return { words: `${SIDE_WORDS[args.side]}: ${words}.`, readings }
  },
})
