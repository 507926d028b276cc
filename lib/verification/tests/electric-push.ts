import type { Side } from '../../../shared/sample.ts'
import { SIDE_WORDS } from '../../geometry/sided.ts'
import { missingCaptures, newest, sideOf } from '../captured.ts'
import type { VerificationContext } from '../context.ts'
import { captureOf } from '../fields.ts'
import { answered, input, measured, untold } from '../figure.ts'
import { notDone, resultOf } from '../result.ts'
import type { Evidence, VerificationTest } from '../test.ts'

const SIGN = { low: 0, high: null, text: 'must rise', source: 'pushed the way the web pulls' }
/** A change this many times its uncertainty is a push, and this many times the other side's is that side's. */
const SURE = 3
const DOMINANT = 1.5

export const electricPush: VerificationTest = {
  id: 'electric.push',
  stage: 'electric',
  title: 'Push each end',
  proves: 'Each channel shows its own end, and rises when the web pulls.',
  effect: 'Sides swapped mirror the line of pull; a reversed side falls when tension rises.',
  caution:
    'Locked out. Push by hand or with a pad at the bearing, away from nips; no more than the maker allows on the cell.',
  steps: [
    'Push each end the way the web will pull it, as the drawing shows, whatever the arrow says.',
    'Hold for a few seconds, let go, and do the other end.',
  ],
  asFoundAsLeft: true,
  plan: ({ sides }) => ({
    fields: [],
    captures: sides.map((side) =>
      captureOf(
        `push.${side}`,
        `Push ${SIDE_WORDS[side]}`,
        `Push the ${SIDE_WORDS[side]} the way the web will pull it, hold, let go.`,
        'movement',
        4,
        { side },
      ),
    ),
    limits: [{ text: 'The channel of the end that is pushed moves, and rises', source: SIGN.source }],
    notFor: null,
  }),
  judge(context, evidence) {
    const missing = missingCaptures(this.plan(context).captures, evidence)
    if (missing !== '') return notDone(`missing: ${missing}`)
    const figures = context.sides.flatMap((side) => pushed(context, evidence, side))
    const falls = figures.some(({ id, value }) => id === 'push-sign' && value === -1)
    const swapped = figures.some(({ id, answer }) => id === 'push-mapped' && answer === 'no')
    return resultOf(figures, [
      ...(falls
        ? [
            'A channel falls: look at that load arrow. Turned: turn the cell. Right: two leads of the bridge are exchanged.',
          ]
        : []),
      ...(swapped ? ['The other channel moved: the two cables or the two channels of the config are exchanged.'] : []),
      'Push again, harder and held longer, if nothing clear moved.',
    ])
  },
}

function pushed({ sides }: VerificationContext, evidence: Evidence, side: Side) {
  const capture = newest(evidence, `push.${side}`)
  const change = capture?.change
  const mapped = { id: 'push-mapped', title: 'The pushed end’s own channel moved', side }
  const sign = { id: 'push-sign', title: 'It rose (1) or fell (−1)', side }
  // A dead channel is not an exchanged one: what the other side shows of the push then proves nothing.
  const dead = sides.filter((one) => sideOf(capture, one) === undefined)
  if (dead.length > 0)
    return [untold(sign, '', `no good samples of ${dead.map((one) => SIDE_WORDS[one]).join(' and ')}`, SIGN)]
  const moves = sides.flatMap((one) => {
    const of = change?.[one]
    return of == null ? [] : [{ side: one, by: of.by.value, u: of.by.u }]
  })
  const clear = moves.filter(({ by, u }) => Math.abs(by) > SURE * u).toSorted((a, b) => Math.abs(b.by) - Math.abs(a.by))
  const [most, second] = clear
  if (most === undefined) return [untold(sign, '', 'nothing moved clearly: push harder and hold', SIGN)]
  if (second !== undefined && Math.abs(most.by) < DOMINANT * Math.abs(second.by))
    return [untold(sign, '', 'both channels moved alike: push nearer to the end', SIGN)]
  const total = moves.reduce((sum, { by }) => sum + Math.abs(by), 0)
  return [
    answered(mapped, most.side === side, 'yes', 'the channel that moved most'),
    measured({
      ...sign,
      value: Math.sign(most.by),
      unit: '',
      limit: SIGN,
      formula: 'sign of the change of the channel that moved',
      source: 'a push along the resultant is a pull of the web',
      inputs: [input('change', most.by, 'N', most.u)],
    }),
    measured({
      id: 'push-share',
      title: 'Its share of all that moved',
      side,
      value: (100 * Math.abs(most.by)) / total,
      unit: '%',
      limit: null,
      formula: '|change of the channel that moved| / sum over the channels',
      source: 'lever arms of the roller on its cells',
    }),
  ]
}
