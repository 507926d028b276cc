import { missingFields, numberField, typed } from '../fields.ts'
import { measured } from '../figure.ts'
import { atMost, listed } from '../limits.ts'
import { notDone, resultOf } from '../result.ts'
import type { VerificationTest } from '../test.ts'

/** Of a dial gauge, mm (common practice, no source). */
const U_DIAL = 0.005

export const fitRunout: VerificationTest = {
  id: 'fit.runout',
  stage: 'fit',
  title: 'Runout of the shell',
  proves: 'The shell runs true.',
  effect: 'A shell out of round pulls the web once a turn, at any speed.',
  caution: 'Turn it by hand only, with fingers away from the nip.',
  steps: ['Set the dial on the shell at mid-span and turn the roller once by hand.'],
  asFoundAsLeft: true,
  plan: ({ limits }) => ({
    fields: [numberField('runout', 'Highest less lowest reading over a turn', 'mm')],
    captures: [],
    limits: [listed('Runout', atMost(limits.runout_mm, 'mm'))],
    notFor: null,
  }),
  judge(context, { values }) {
    const missing = missingFields(this.plan(context).fields, values)
    if (missing !== '') return notDone(`missing: ${missing}`)
    const runout = typed(values, 'runout') ?? Number.NaN
    if (runout < 0) return notDone('highest less lowest is never under 0')
    return resultOf(
      [
        measured({
          id: 'runout',
          title: 'Runout',
          value: runout,
          unit: 'mm',
          parts: [{ name: 'dial gauge', contribution: U_DIAL }],
          limit: atMost(context.limits.runout_mm, 'mm'),
          formula: 'highest − lowest over one turn',
          source: 'dial gauge; its standard uncertainty of 0.005 mm is assumed (common practice)',
        }),
      ],
      ['Clean the shell; regrind or replace it.'],
    )
  },
}
