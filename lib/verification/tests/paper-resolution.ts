import { capacityN } from '../../scale/force.ts'
import { cellScale, forceScaleOf, spanOfSide } from '../context.ts'
import { input, measured, untold } from '../figure.ts'
import { atMost, listed } from '../limits.ts'
import { resultOf } from '../result.ts'
import type { VerificationTest } from '../test.ts'

export const paperResolution: VerificationTest = {
  id: 'paper.resolution',
  stage: 'paper',
  title: 'Resolution of the reading',
  proves: 'One step of the numbers that arrive is small against the force that is to be seen.',
  effect: 'With coarse steps noise and drift cannot be seen, and a mean is worth less than it looks.',
  caution: null,
  steps: [],
  automatic: true,
  plan: (context) => ({
    fields: [],
    captures: [],
    limits: [listed('One step', atMost(context.limits.resolution_percent, '% of span'))],
    notFor: context.sides.every((side) => cellScale(context, side).step === 0)
      ? 'the numbers arrive as floats: no step is told'
      : null,
  }),
  judge(context) {
    const figures = context.sides.map((side) => {
      const scale = cellScale(context, side)
      const step = Math.abs(scale.step * scale.gainN)
      const name = { id: 'resolution', title: 'One step', side }
      if (step === 0) return untold(name, '%', 'the numbers of this channel have no step that the config tells', null)
      const span = spanOfSide(context, side)
      return measured({
        ...name,
        value: (100 * step) / span,
        unit: '%',
        limit: atMost(context.limits.resolution_percent, '% of span'),
        formula: 'force of one step of the raw number / force of the largest tension',
        source: 'scale of the channel in the config',
        inputs: [
          input('step', step, 'N'),
          input('span', span, 'N'),
          input('rated capacity', capacityN(forceScaleOf(context, side)), 'N'),
        ],
      })
    })
    return resultOf(figures, ['A larger gain of the amplifier, a finer converter, or a smaller cell.'])
  },
}
