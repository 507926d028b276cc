import { newest } from '../captured.ts'
import { captureOf } from '../fields.ts'
import { measured, untold } from '../figure.ts'
import { notDone, resultOf } from '../result.ts'
import type { VerificationTest } from '../test.ts'

const NONE = { low: null, high: 0, text: 'none', source: 'common practice, no source' }

export const electricWiggle: VerificationTest = {
  id: 'electric.wiggle',
  stage: 'electric',
  title: 'Wiggle the cables',
  proves: 'No cable or plug breaks contact when it is moved.',
  effect: 'An intermittent contact makes spikes to the rail that grow with the machine’s shaking.',
  caution: null,
  steps: ['Move each cable along its length and at both plugs while the capture runs. Do not touch the roller.'],
  plan: () => ({
    fields: [],
    captures: [captureOf('wiggle', 'Wiggling', 'Move cables and plugs, not the roller.', 'any', 20)],
    limits: [{ text: 'no spike, no bad stretch', source: NONE.source }],
    notFor: null,
  }),
  judge(context, evidence) {
    const capture = newest(evidence, 'wiggle')
    if (capture === undefined) return notDone('missing: wiggling')
    const count = (id: string, title: string, of: 'spikes' | 'badStretches') =>
      context.sides.map((side) => {
        const all = capture.sides[side]
        if (all === undefined || all.samples === 0)
          return untold({ id, title, side }, '', 'no samples of this side', NONE)
        return measured({
          id,
          title,
          side,
          value: all[of],
          unit: '',
          limit: NONE,
          formula: 'counted over the capture',
          source: 'quality and size of single samples',
        })
      })
    return resultOf(
      [...count('spikes', 'Spikes', 'spikes'), ...count('bad-stretches', 'Stretches of bad samples', 'badStretches')],
      ['Seat or replace that side’s cable or plug; wiggle in parts to find which.'],
    )
  },
}
