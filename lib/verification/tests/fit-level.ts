import { missingFields, numberField, typed } from '../fields.ts'
import { measured } from '../figure.ts'
import { listed, within } from '../limits.ts'
import { notDone, resultOf } from '../result.ts'
import type { VerificationTest } from '../test.ts'

/** Of a machinist's level or a tape between rollers, mm/m (common practice, no source). */
const U_LEVEL = 0.03

export const fitLevel: VerificationTest = {
  id: 'fit.level',
  stage: 'fit',
  title: 'Roller level and parallel',
  proves: 'The roller lies level and parallel to its neighbour.',
  effect: 'A roller askew steers the web to one side: the line of pull walks off and one side carries more.',
  caution: null,
  steps: ['Lay the level on the shell.', 'Measure from the shell to the neighbour at both ends.'],
  asFoundAsLeft: true,
  plan: ({ limits }) => ({
    fields: [
      numberField('level', 'Out of level, operator side higher is positive', 'mm/m'),
      numberField('parallel', 'Out of parallel with the neighbour', 'mm/m'),
    ],
    captures: [],
    limits: [listed('Out of level, out of parallel', within(limits.level_mm_per_m, 'mm/m'))],
    notFor: null,
  }),
  judge(context, { values }) {
    const missing = missingFields(this.plan(context).fields, values)
    if (missing !== '') return notDone(`missing: ${missing}`)
    const figure = (id: string, title: string) =>
      measured({
        id,
        title,
        value: typed(values, id) ?? Number.NaN,
        unit: 'mm/m',
        parts: [{ name: 'level or tape', contribution: U_LEVEL }],
        limit: within(context.limits.level_mm_per_m, 'mm/m'),
        formula: 'as measured',
        source: 'its standard uncertainty of 0.03 mm/m is assumed (common practice)',
      })
    return resultOf(
      [figure('level', 'Out of level'), figure('parallel', 'Out of parallel')],
      ['Shim the mount, then check the arrows again: they turn with it.'],
    )
  },
}
