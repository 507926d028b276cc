import { type CalibrationContext, resolutionInput } from './context.ts'
import { type CalibrationOutcome, cannot, plainInput } from './figure.ts'

/**
 * Zero return: the largest difference between the zero after a cycle and the zero before it, in % of span (zero
 * error of ISO 376; minimum dead load output return of OIML R 60). Needs a cycle with both zeros.
 */
export function zeroReturn(context: CalibrationContext, unit: string): CalibrationOutcome {
  const zeros = context.levels.find(({ force }) => force === 0)
  const returns = (zeros?.cycles ?? []).flatMap(({ cycle, up, down }) =>
    up === null || down === null ? [] : [{ cycle, moved: Math.abs(down - up) }],
  )
  const [first] = returns
  if (first === undefined) return cannot('zero return needs the zero before and after one cycle')
  const worst = returns.reduce((most, one) => (one.moved > most.moved ? one : most), first)
  const toPercent = 100 / context.spanReading
  const scatter = context.readingScatter
  return {
    kind: 'told',
    quantity: {
      value: worst.moved * toPercent,
      uRandom: scatter === undefined ? undefined : Math.SQRT2 * scatter.sd * toPercent,
      dof: scatter?.dof ?? Number.POSITIVE_INFINITY,
      systematic: resolutionInput(context, unit, Math.SQRT2 * toPercent),
      inputs: [plainInput('in cycle', worst.cycle, '1'), plainInput('span', context.spanN, 'N')],
    },
  }
}
