import { missingFields, said, textField, yesNoField } from '../fields.ts'
import { answered } from '../figure.ts'
import { notDone, resultOf } from '../result.ts'
import type { VerificationTest } from '../test.ts'

export const runningPath: VerificationTest = {
  id: 'running.path',
  stage: 'running',
  title: 'Web path by eye',
  proves: 'The web runs the path that the geometry draws.',
  effect: 'One roller passed on the other side changes the wrap, and both sides read the same wrong share.',
  caution: 'Look from outside the guards.',
  steps: ['Hold the drawing of the page Geometry against the machine, roller by roller.'],
  plan: () => ({
    fields: [
      yesNoField('as-drawn', 'The web runs as drawn'),
      textField('how', 'How it runs instead', { required: false }),
    ],
    captures: [],
    limits: [],
    notFor: null,
  }),
  judge(context, { values }) {
    const missing = missingFields(this.plan(context).fields, values)
    if (missing !== '') return notDone(`not answered: ${missing}`)
    return resultOf(
      [
        answered(
          { id: 'path-as-drawn', title: 'The web runs as drawn' },
          said(values, 'as-drawn') === true,
          'yes',
          'looked at on site',
        ),
      ],
      ['Draw the path as it runs on the page Geometry, or thread the web as drawn.'],
    )
  },
}
