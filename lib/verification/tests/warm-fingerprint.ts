import type { Side } from '../../../shared/sample.ts'
import type { Capture } from '../../../shared/schemas/verification/capture.ts'
import type { RecordFigure } from '../../../shared/schemas/verification/result.ts'
import { verdictOf } from '../../verdicts/sentence.ts'
import { newest, sideOf } from '../captured.ts'
import { cellScale, type VerificationContext } from '../context.ts'
import { captureOf } from '../fields.ts'
import { answered, measured } from '../figure.ts'
import { notDone, resultOf } from '../result.ts'
import type { VerificationTest } from '../test.ts'
import { turnAt } from './running-lines.ts'
import { figuresOfRunning } from './running-points.ts'

/** Of a temperature between two visits, K (common practice, no source). */
const U_TEMPERATURE = 0.5

/**
 * What right looked like, kept to be compared with: each figure at its operating point and with its whole uncertainty.
 * Measured less expected and the side difference do not depend on the tension that is set on the day of the return; the
 * forces stand beside them. It judges only that there is something to keep: whether it was right other tests say.
 */
export const warmFingerprint: VerificationTest = {
  id: 'warm.fingerprint',
  stage: 'warm',
  title: 'Baseline of the return visit',
  proves: 'What right looked like is kept: forces, agreement, side difference, noise and lines of a good minute.',
  effect: 'Without it the next visit starts from zero.',
  caution: 'Guards closed, hands away.',
  steps: ['Run as usual, steadily, for a minute.'],
  plan: () => ({
    fields: [],
    captures: [captureOf('baseline', 'Usual running', 'Run as usual.', 'steady', 60)],
    limits: [],
    notFor: null,
  }),
  judge(context, evidence) {
    const { sides } = context
    const capture = newest(evidence, 'baseline')
    if (capture === undefined) return notDone('missing: usual running')
    const isGood = sides.every((side) => sideOf(capture, side) !== undefined)
    const running = figuresOfRunning(context, capture)
    const point = running[0]?.point ?? null
    return resultOf(
      [
        answered({ id: 'captured', title: 'Every side was good throughout' }, isGood, 'yes', 'quality of the samples'),
        ...[
          ...sides.flatMap((side) => forceOf(context, capture, side, point)),
          ...running,
          ...(capture.speed === null || context.geometry === null
            ? []
            : sides.flatMap((side) => turnAt(context, capture, side))),
        ].flatMap(forInformation),
        ...temperatureOf(capture),
      ],
      ['Capture it again when both sides give good samples.'],
    )
  },
}

function forceOf(context: VerificationContext, capture: Capture, side: Side, point: string | null): RecordFigure[] {
  const force = sideOf(capture, side)?.force
  if (force == null) return []
  const { gainU, zeroUN } = cellScale(context, side)
  return [
    measured({
      id: 'force',
      title: 'Force along the arrow',
      side,
      point,
      value: force.value,
      unit: 'N',
      uRandom: force.u,
      parts: [
        { name: 'gain of the channel', contribution: Math.abs(force.value) * gainU },
        { name: 'zero of the channel', contribution: zeroUN },
      ],
      limit: null,
      formula: 'mean over the capture, gain × (reading − zero)',
      source: 'JCGM 100, 5.1.2; autocorrelation respected',
    }),
  ]
}

function temperatureOf({ temperature }: Capture): RecordFigure[] {
  if (temperature === null) return []
  return [
    measured({
      id: 'baseline-temperature',
      title: 'Temperature',
      value: temperature.value,
      unit: '°C',
      uRandom: temperature.u,
      parts: [{ name: 'thermometer (common practice, no source)', contribution: U_TEMPERATURE }],
      limit: null,
      formula: 'mean over the capture',
      source: 'what a change of the others may go with',
    }),
  ]
}

/** A figure kept under a name of the baseline, without a limit; nothing of what is not known. */
function forInformation(figure: RecordFigure): RecordFigure[] {
  if (figure.value === null) return []
  return [{ ...figure, id: `baseline-${figure.id}`, limit: null, verdict: verdictOf('not-done', { kind: 'no-limit' }) }]
}
