import { newest, sideOf } from '../captured.ts'
import { cellScale, spanOfSide } from '../context.ts'
import { captureOf } from '../fields.ts'
import { input, measured, untold } from '../figure.ts'
import { listed, within } from '../limits.ts'
import { notDone, resultOf } from '../result.ts'
import type { VerificationTest } from '../test.ts'

export const warmZeroReturn: VerificationTest = {
  id: 'warm.zero-return',
  stage: 'warm',
  title: 'Return to zero after the stop',
  proves: 'With the web slack again, both sides come back to where the zero was taken.',
  effect: 'A zero that stays off adds a constant to every tension: binding, growth, creep or temperature.',
  caution: 'Stop under the site’s procedure; lock out before anybody touches web or roller.',
  steps: ['Stop while still warm, let the web hang slack or take it off, and leave the roller alone.'],
  plan: ({ limits }) => ({
    fields: [],
    captures: [captureOf('zero', 'Web slack', 'Leave everything still.', 'still', 10)],
    limits: [listed('Each side', within(limits.zero_return_percent, '% of span'))],
    notFor: null,
  }),
  judge(context, evidence) {
    const capture = newest(evidence, 'zero')
    if (capture === undefined) return notDone('missing: web slack')
    const limit = within(context.limits.zero_return_percent, '%')
    return resultOf(
      context.sides.map((side) => {
        const name = { id: 'zero-return', title: 'Off its zero', side }
        const force = sideOf(capture, side)?.force
        if (force == null) return untold(name, '%', 'no good samples of this side', limit)
        const span = spanOfSide(context, side)
        const { zero, unit, step, gainN } = cellScale(context, side)
        return measured({
          ...name,
          value: (100 * force.value) / span,
          unit: '%',
          uRandom: (100 * force.u) / span,
          parts: [
            { name: 'resolution of the reading', contribution: (100 * Math.abs(step * gainN)) / Math.sqrt(12) / span },
          ],
          limit,
          formula: '(reading − zero in force) × gain / span',
          source: 'against the zero in force, taken as it is',
          inputs: [
            input('off its zero', force.value, 'N', force.u),
            input('zero in force', zero, unit),
            input('span', span, 'N'),
          ],
        })
      }),
      ['Take the warm zero as a revision if it repeats; else look for clearance, free play and moisture.'],
    )
  },
}
