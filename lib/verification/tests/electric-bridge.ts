import { missingFields, numberField, perSide, typed } from '../fields.ts'
import { input, measured } from '../figure.ts'
import { listed, within } from '../limits.ts'
import { notDone, resultOf } from '../result.ts'
import type { VerificationTest } from '../test.ts'

/** Of an ohmmeter with its leads, % (common practice, no source). */
const U_OHMMETER = 0.2

export const electricBridge: VerificationTest = {
  id: 'electric.bridge',
  stage: 'electric',
  title: 'Bridge resistance',
  proves: 'Both bridges are whole, and each is the cell that its certificate belongs to.',
  effect: 'A broken or shorted arm, a wrong pair of leads or a wrong cell shows here before it shows as a false force.',
  caution: 'Take the cell off the amplifier first: an ohmmeter and an excited bridge harm one another.',
  steps: [
    'Unplug the cell from the amplifier.',
    'Measure between the excitation leads, then between the signal leads.',
  ],
  asFoundAsLeft: true,
  plan: ({ sides, limits }) => ({
    fields: perSide(sides, (suffix, where, side) => [
      numberField(`in.${suffix}`, `Input resistance${where}`, 'Ω', { side }),
      numberField(`out.${suffix}`, `Output resistance${where}`, 'Ω', { side }),
      numberField(`in-certificate.${suffix}`, `Input by certificate${where}`, 'Ω', { side }),
      numberField(`out-certificate.${suffix}`, `Output by certificate${where}`, 'Ω', { side }),
    ]),
    captures: [],
    limits: [listed('Each against its certificate', within(limits.bridge_percent, '%'))],
    notFor: null,
  }),
  judge(context, { values }) {
    const missing = missingFields(this.plan(context).fields, values)
    if (missing !== '') return notDone(`missing: ${missing}`)
    const figure = (side: (typeof context.sides)[number], which: 'in' | 'out') => {
      const read = typed(values, `${which}.${side}`) ?? Number.NaN
      const certificate = typed(values, `${which}-certificate.${side}`) ?? Number.NaN
      return measured({
        id: which === 'in' ? 'input-resistance' : 'output-resistance',
        title: which === 'in' ? 'Input resistance off its certificate' : 'Output resistance off its certificate',
        side,
        value: (100 * (read - certificate)) / certificate,
        unit: '%',
        parts: [{ name: 'ohmmeter and leads', contribution: U_OHMMETER }],
        limit: within(context.limits.bridge_percent, '%'),
        formula: '(measured − certificate) / certificate',
        source: 'ohmmeter; its standard uncertainty of 0.2 % is assumed (common practice)',
        inputs: [input('measured', read, 'Ω'), input('certificate', certificate, 'Ω')],
      })
    }
    return resultOf(
      context.sides.flatMap((side) => [figure(side, 'in'), figure(side, 'out')]),
      ['Measure at the cell’s own plug: a long cable adds its resistance. A bridge that is off there is damaged.'],
    )
  },
}
