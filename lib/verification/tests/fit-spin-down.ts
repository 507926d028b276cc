import { missingFields, numberField, said, typed, yesNoField } from '../fields.ts'
import { answered, measured } from '../figure.ts'
import { notDone, resultOf } from '../result.ts'
import type { VerificationTest } from '../test.ts'

/** Of a stopwatch in a hand, s (common practice, no source). */
const U_STOPWATCH = 0.5

export const fitSpinDown: VerificationTest = {
  id: 'fit.spin-down',
  stage: 'fit',
  title: 'Roller spins free',
  proves: 'Bearings and seals do not drag.',
  effect: 'A dragging roller takes tension out of the web behind it: hysteresis, and both spans pull unequally.',
  caution: 'Turn it by hand only, with fingers away from the nip.',
  steps: ['Take the web off or let it hang slack.', 'Spin the roller by hand and time it until it stands.'],
  asFoundAsLeft: true,
  plan: () => ({
    fields: [
      numberField('seconds', 'Time until it stands', 's', { hint: 'compare with the record of an earlier visit' }),
      yesNoField('free', 'It runs out evenly, without rub or stop'),
    ],
    captures: [],
    limits: [],
    notFor: null,
  }),
  judge(context, { values }) {
    const missing = missingFields(this.plan(context).fields, values)
    if (missing !== '') return notDone(`missing: ${missing}`)
    return resultOf(
      [
        answered(
          { id: 'spins-free', title: 'Runs out evenly, without rub or stop' },
          said(values, 'free') === true,
          'yes',
          'looked at on site',
        ),
        measured({
          id: 'spin-down',
          title: 'Spin-down time',
          value: typed(values, 'seconds') ?? Number.NaN,
          unit: 's',
          parts: [{ name: 'stopwatch and the push of a hand', contribution: U_STOPWATCH }],
          limit: null,
          formula: 'as timed; for comparison with another visit',
          source: 'its standard uncertainty of 0.5 s is assumed (common practice)',
        }),
      ],
      ['Clean or replace the bearing; look for a seal, a hose or a scraper that drags.'],
    )
  },
}
