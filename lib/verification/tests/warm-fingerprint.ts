import { newest, sideOf } from '../captured.ts'
import { captureOf } from '../fields.ts'
import { answered, measured } from '../figure.ts'
import { notDone, resultOf } from '../result.ts'
import type { VerificationTest } from '../test.ts'

export const warmFingerprint: VerificationTest = {
  id: 'warm.fingerprint',
  stage: 'warm',
  title: 'Baseline of the return visit',
  proves: 'What right looked like is kept: forces, difference, noise and lines of a good minute.',
  effect: 'Without it the next visit starts from zero.',
  caution: 'Guards closed, hands away.',
  steps: ['Run as usual, steadily, for a minute.'],
  plan: () => ({
    fields: [],
    captures: [captureOf('baseline', 'Usual running', 'Run as usual.', 'steady', 60)],
    limits: [],
    notFor: null,
  }),
  judge({ sides }, evidence) {
    const capture = newest(evidence, 'baseline')
    if (capture === undefined) return notDone('missing: usual running')
    const isGood = sides.every((side) => sideOf(capture, side) !== undefined)
    const info = { limit: null, formula: 'mean over the capture', source: 'captured while it was right' }
    return resultOf(
      [
        answered({ id: 'captured', title: 'Every side was good throughout' }, isGood, 'yes', 'quality of the samples'),
        ...sides.flatMap((side) => {
          const of = sideOf(capture, side)
          if (of === undefined || of.force === null) return []
          return [
            measured({
              ...info,
              id: 'baseline-force',
              title: 'Force along the arrow',
              side,
              value: of.force.value,
              unit: 'N',
              uRandom: of.force.u,
            }),
            ...(of.noise === null
              ? []
              : [
                  measured({
                    ...info,
                    id: 'baseline-noise',
                    title: 'Noise',
                    side,
                    value: of.noise,
                    unit: 'N',
                    uRandom: of.noise / Math.sqrt(2 * Math.max(1, of.good - 1)),
                  }),
                ]),
          ]
        }),
        ...(capture.total === null
          ? []
          : [
              measured({
                ...info,
                id: 'baseline-total',
                title: 'Web tension',
                value: capture.total.value,
                unit: 'N',
                uRandom: capture.total.u,
              }),
            ]),
        ...(capture.imbalance === null
          ? []
          : [
              measured({
                ...info,
                id: 'baseline-imbalance',
                title: 'Side difference',
                value: capture.imbalance.value,
                unit: '%',
                uRandom: capture.imbalance.u,
              }),
            ]),
      ],
      ['Capture it again when both sides give good samples.'],
    )
  },
}
