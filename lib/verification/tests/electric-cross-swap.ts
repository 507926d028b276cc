import { choiceField, chosen, textField } from '../fields.ts'
import { answered, measured } from '../figure.ts'
import { notDone, resultOf } from '../result.ts'
import type { VerificationTest } from '../test.ts'

const CODES: Readonly<Record<string, number>> = { neither: 0, cell: 1, channel: 2 }

export const electricCrossSwap: VerificationTest = {
  id: 'electric.cross-swap',
  stage: 'electric',
  title: 'Exchange the cells at the amplifier',
  proves: 'Whether a fault belongs to the cell and its cable, or to the amplifier’s channel.',
  effect: 'A wrong part is replaced, and the fault stays.',
  caution:
    'Both channels show the other end meanwhile: put them back before anything else, and say so to whoever runs the machine.',
  steps: ['Only where a fault is seen: exchange both plugs at the amplifier, repeat what showed it, put them back.'],
  plan: ({ sides }) => ({
    fields: [
      choiceField('follows', 'The fault', [
        { value: 'cell', label: 'went with the cell' },
        { value: 'channel', label: 'stayed with the channel' },
        { value: 'neither', label: 'did not show again' },
      ]),
      textField('what', 'What was seen', { required: false }),
    ],
    captures: [],
    limits: [],
    notFor: sides.length === 1 ? 'one cell: there is nothing to exchange it with' : null,
  }),
  judge(_, { values }) {
    const follows = chosen(values, 'follows')
    const code = follows === undefined ? undefined : CODES[follows]
    if (code === undefined) return notDone('say what the fault did, or that the test was not needed')
    return resultOf(
      [
        answered({ id: 'fault-gone', title: 'Nothing wrong shows in either place' }, code === 0, 'yes', 'seen on site'),
        measured({
          id: 'follows',
          title: 'The fault went with the cell (1), stayed with the channel (2), or is gone (0)',
          value: code,
          unit: '',
          limit: null,
          formula: 'as answered',
          source: 'seen on site',
        }),
      ],
      [
        code === 1
          ? 'Cell or cable: bridge resistance, insulation, wiggle test.'
          : 'The amplifier’s channel: its settings, then another channel.',
      ],
    )
  },
}
