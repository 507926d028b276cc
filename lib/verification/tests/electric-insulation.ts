import { missingFields, numberField, perSide, typed } from '../fields.ts'
import { measured } from '../figure.ts'
import { atLeast, listed } from '../limits.ts'
import { notDone, resultOf } from '../result.ts'
import type { VerificationTest } from '../test.ts'

/** Of an insulation meter, share of the reading (common practice, no source). */
const U_METER = 0.05

export const electricInsulation: VerificationTest = {
  id: 'electric.insulation',
  stage: 'electric',
  title: 'Insulation',
  proves: 'Neither bridge leaks to its body or its shield.',
  effect: 'Moisture makes a slow wandering zero, worse when it is humid or after a wash-down.',
  caution:
    'With the cell off the amplifier, and at no more than the test voltage the maker allows: more destroys the bridge.',
  steps: [
    'Unplug the cell from the amplifier.',
    'Join all bridge leads; measure from them to the body, then to the shield. Type the lower of both.',
  ],
  asFoundAsLeft: true,
  plan: ({ sides, limits }) => ({
    fields: perSide(sides, (suffix, where, side) => [
      numberField(`insulation.${suffix}`, `Insulation${where}`, 'MΩ', {
        side,
        hint: 'the end of the meter’s range where it shows more',
      }),
    ]),
    captures: [],
    limits: [listed('Each', atLeast(limits.insulation_megohm, 'MΩ'))],
    notFor: null,
  }),
  judge(context, { values }) {
    const missing = missingFields(this.plan(context).fields, values)
    if (missing !== '') return notDone(`missing: ${missing}`)
    return resultOf(
      context.sides.map((side) => {
        const read = typed(values, `insulation.${side}`) ?? Number.NaN
        return measured({
          id: 'insulation',
          title: 'Insulation of the bridge',
          side,
          value: read,
          unit: 'MΩ',
          parts: [{ name: 'insulation meter', contribution: U_METER * read }],
          limit: atLeast(context.limits.insulation_megohm, 'MΩ'),
          formula: 'as measured, bridge to body or shield, the lower',
          source: 'insulation meter; its standard uncertainty of 5 % is assumed (common practice)',
        })
      }),
      ['Dry the plug and the cable entry and measure again; a cell that stays low is damp inside.'],
    )
  },
}
