import { choiceField, missingFields, numberField, perSide, typed } from '../fields.ts'
import { input, measured } from '../figure.ts'
import { listed, within } from '../limits.ts'
import { notDone, resultOf } from '../result.ts'
import type { VerificationTest } from '../test.ts'

/** Of a voltmeter, % (common practice, no source). */
const U_VOLTMETER = 0.1

export const electricExcitation: VerificationTest = {
  id: 'electric.excitation',
  stage: 'electric',
  title: 'Excitation at the cell',
  proves: 'What the amplifier is set to arrives at the bridge.',
  effect: 'Loss in a long lead takes its share of the gain: imbalance in proportion to tension where the leads differ.',
  caution: 'The instrument supply is on: measure at the plug, with probes that cannot short it.',
  steps: ['Measure across the excitation leads at the cell’s plug, with the cell connected.'],
  asFoundAsLeft: true,
  plan: ({ sides, limits }) => ({
    fields: [
      choiceField('wires', 'Leads', [
        { value: '4', label: '4 wires' },
        { value: '6', label: '6 wires, sensed at the cell' },
      ]),
      numberField('set', 'Excitation the amplifier is set to', 'V'),
      ...perSide(sides, (suffix, where, side) => [
        numberField(`at-cell.${suffix}`, `At the cell${where}`, 'V', { side }),
      ]),
    ],
    captures: [],
    limits: [listed('At the cell against what is set', within(limits.excitation_percent, '%'))],
    notFor: null,
  }),
  judge(context, { values }) {
    const missing = missingFields(this.plan(context).fields, values)
    if (missing !== '') return notDone(`missing: ${missing}`)
    const set = typed(values, 'set') ?? Number.NaN
    return resultOf(
      context.sides.map((side) => {
        const read = typed(values, `at-cell.${side}`) ?? Number.NaN
        return measured({
          id: 'excitation',
          title: 'Excitation at the cell off what is set',
          side,
          value: (100 * (read - set)) / set,
          unit: '%',
          parts: [{ name: 'voltmeter', contribution: U_VOLTMETER * Math.SQRT2 }],
          limit: within(context.limits.excitation_percent, '%'),
          formula: '(at the cell − set) / set',
          source: 'voltmeter; its standard uncertainty of 0.1 % is assumed (common practice)',
          inputs: [input('at the cell', read, 'V'), input('set', set, 'V')],
        })
      }),
      ['Six wires with sensing at the cell, or a shorter or thicker lead; else span each side with its own lead.'],
    )
  },
}
