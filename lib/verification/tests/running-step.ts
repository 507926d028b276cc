import type { Capture } from '../../../shared/schemas/verification/capture.ts'
import { newest, sampledSeconds } from '../captured.ts'
import { captureOf } from '../fields.ts'
import { answered, input, measured, untold } from '../figure.ts'
import { listed, within } from '../limits.ts'
import { notDone, resultOf } from '../result.ts'
import type { VerificationTest } from '../test.ts'

/** When a change began is known so well at best, s (common practice, no source). */
const LEAST_U_WHEN = 0.01

/** … and no better than the samples stand apart: rectangular, JCGM 100, 4.3.7. */
function uWhen(capture: Capture): number {
  const samples = Math.min(...Object.values(capture.sides).map(({ good }) => good))
  return Math.max(LEAST_U_WHEN, sampledSeconds(capture) / Math.max(1, samples) / Math.sqrt(12))
}

type Change = NonNullable<NonNullable<Capture['change']['single']>>

/** 10 to 90 % of a first-order answer lasts this many time constants. */
const RISE_TAUS = Math.log(9)

/**
 * Standard uncertainty of when a change passed a share of its height, s: scatter and the uncertainty of the height over
 * the steepness there, which for a step through a filter of first order is Δ(1 − share)/τ (JCGM 100, 5.1.2). A change too
 * fast to have a rise is as steep as can be.
 */
function uPassing({ by, riseS }: Change, share: number): number {
  const tau = (riseS ?? 0) / RISE_TAUS
  return (Math.abs(by.u / by.value) * Math.sqrt(0.5 + share ** 2) * tau) / (1 - share)
}

const uRise = (change: Change): number => Math.hypot(uPassing(change, 0.1), uPassing(change, 0.9))

export const runningStep: VerificationTest = {
  id: 'running.step',
  stage: 'running',
  title: 'A tension step on both sides',
  proves: 'Both sides answer to one change of tension: the same way, as much, and at the same time.',
  effect:
    'One side that lags has another filter; one that answers less has its arrow, its gain or its free play wrong.',
  caution: 'Guards closed, hands away. Change the set tension as the process allows.',
  steps: ['Run steadily, start the capture, change the set tension by a tenth or more, and wait until it stands.'],
  plan: ({ sides, limits }) => ({
    fields: [],
    captures: [captureOf('step', 'Tension step', 'Change the set tension now.', 'movement', 20)],
    limits: [
      { text: 'Both sides rise or fall together', source: 'one web pulls both' },
      listed('Response of one side over the other, off 1', within(limits.together_percent, '%')),
      listed('One side behind the other', within(limits.delay_ms, 'ms')),
    ],
    notFor: sides.length === 1 ? 'one cell: there is no other side to answer with it' : null,
  }),
  judge(context, evidence) {
    const capture = newest(evidence, 'step')
    if (capture === undefined) return notDone('missing: tension step')
    const drive = capture.change.drive_side
    const operator = capture.change.operator_side
    const limit = within(context.limits.together_percent, '%')
    if (drive == null || operator == null)
      return resultOf(
        [
          untold(
            { id: 'gain-ratio', title: 'Operator side over drive side, off 1' },
            '%',
            'no clear change was seen on both sides',
            limit,
          ),
        ],
        ['Make a larger step.'],
      )
    const ratio = operator.by.value / drive.by.value
    const u = Math.abs(ratio) * Math.hypot(operator.by.u / operator.by.value, drive.by.u / drive.by.value)
    const when = uWhen(capture)
    const offCentre = (2 * context.zone.web_offset_m) / (context.zone.cell_distance_m ?? Number.POSITIVE_INFINITY)
    const expected = (1 + offCentre) / (1 - offCentre)
    return resultOf(
      [
        answered({ id: 'together', title: 'Both sides moved the same way' }, ratio > 0, 'yes', 'the captured change'),
        measured({
          id: 'gain-ratio',
          title: 'Operator side over drive side, off what the web’s place makes of it',
          value: 100 * (ratio / expected - 1),
          unit: '%',
          uRandom: (100 * u) / expected,
          limit,
          formula: 'ΔF_OS/ΔF_DS / ((1 + 2e/L)/(1 − 2e/L)) − 1, e where the web is guided',
          source: 'moments about mid-span',
          inputs: [
            input('operator side', operator.by.value, 'N', operator.by.u),
            input('drive side', drive.by.value, 'N', drive.by.u),
          ],
        }),
        measured({
          id: 'delay',
          title: 'Operator side behind drive side',
          value: 1000 * (operator.atS - drive.atS),
          unit: 'ms',
          uRandom: 1000 * Math.hypot(uPassing(drive, 0.5), uPassing(operator, 0.5)),
          parts: [{ name: 'when a change began', contribution: 1000 * when * Math.SQRT2 }],
          limit: within(context.limits.delay_ms, 'ms'),
          formula: 'middle of the change of one side less the other’s',
          source: 'the captured change',
        }),
        ...(drive.riseS !== null && operator.riseS !== null && drive.riseS > 0
          ? [
              measured({
                id: 'rise-ratio',
                title: 'Rise time, operator side over drive side',
                value: operator.riseS / drive.riseS,
                unit: 'times',
                uRandom:
                  (operator.riseS / drive.riseS) *
                  Math.hypot(uRise(operator) / operator.riseS, uRise(drive) / drive.riseS),
                parts: [
                  {
                    name: 'when a change began and ended',
                    contribution: (when * Math.SQRT2 * Math.hypot(1, operator.riseS / drive.riseS)) / drive.riseS,
                  },
                ],
                limit: null,
                formula: 'time from 10 to 90 % of the change, one over the other',
                source: 'the captured change',
              }),
            ]
          : []),
        ...(['drive_side', 'operator_side'] as const).flatMap((side) => {
          const change = capture.change[side]
          return change?.riseS == null
            ? []
            : [
                measured({
                  id: 'rise',
                  title: 'Rise time',
                  side,
                  value: change.riseS,
                  unit: 's',
                  uRandom: uRise(change),
                  parts: [{ name: 'when a change began and ended', contribution: when * Math.SQRT2 }],
                  limit: null,
                  formula: 'time from 10 to 90 % of the change',
                  source: 'the captured change',
                }),
              ]
        }),
      ],
      ['Lag: set both filters alike. Unequal response: arrow, gain, free play of the side that answers less.'],
    )
  },
}
