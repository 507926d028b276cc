import { entriesOf, ofSide } from '../../geometry/sided.ts'
import { OUTPUT_LIMITS, UNIT_OF_SIGNAL } from '../../geometry/signal.ts'
import { expectedOrNull } from '../context.ts'
import { input, measured } from '../figure.ts'
import { notDone, resultOf } from '../result.ts'
import type { VerificationTest } from '../test.ts'

export const paperLiveZero: VerificationTest = {
  id: 'paper.live-zero',
  stage: 'paper',
  title: 'Where the live zero will sit',
  proves: 'With the bare roller the output stands inside its own range.',
  effect:
    'A roller whose weight opposes the arrow can pull the output under its range: small tensions are then cut off.',
  caution: null,
  steps: [],
  automatic: true,
  plan: ({ geometry }) => ({
    fields: [],
    captures: [],
    limits: [],
    notFor:
      geometry === null
        ? 'the zone has no geometry'
        : geometry.tellsSignal
          ? null
          : 'the geometry does not describe the output',
  }),
  judge(context) {
    const expected = expectedOrNull(context)
    const cells = context.geometry?.geometry.cells
    if (expected === null || cells === undefined) return notDone(String(context.expected))
    const figures = entriesOf(expected.sides).map(([side, { bareSignal, bareForce }]) => {
      const { chain } = ofSide(cells, side)
      const ends = OUTPUT_LIMITS[chain.kind]
      const unit = UNIT_OF_SIGNAL[chain.kind]
      return measured({
        id: 'live-zero',
        title: 'Reading with the bare roller',
        side,
        value: bareSignal,
        unit,
        limit:
          ends === null
            ? { low: null, high: null, text: 'a bridge has no ends of its own', source: 'none' }
            : {
                low: ends[0],
                high: ends[1],
                text: `${ends[0]} to ${ends[1]} ${unit}`,
                source: 'ends of the output (NAMUR NE 43)',
              },
        formula: 'zero + roller’s weight along the arrow through the chain of the output',
        source: 'geometry and output of the zone',
        inputs: [input('roller along the arrow', bareForce, 'N')],
      })
    })
    return resultOf(figures, [
      'Zero the amplifier on the bare roller, or turn the mount so that the weight pulls along the arrow.',
    ])
  },
}
