import type { Figure } from '../../../shared/schemas/now.ts'
import type { Drift } from '../../../shared/schemas/shift.ts'
import type { RecordFigure } from '../../../shared/schemas/verification.ts'
import { newest } from '../captured.ts'
import { captureOf } from '../fields.ts'
import { input, measured } from '../figure.ts'
import { notDone, resultOf } from '../result.ts'
import type { VerificationTest } from '../test.ts'

/** What may drift, as a record names it. */
const NAMES: Readonly<Record<Drift['quantity'], readonly [id: string, title: string]>> = {
  agreement: ['drift-residual', 'Drift of measured less expected'],
  side_difference: ['drift-imbalance', 'Drift of the side difference'],
  span: ['drift-span', 'Drift of the span'],
  zero_drive_side: ['drift-zero', 'Drift of the zero, drive side'],
  zero_operator_side: ['drift-zero-operator', 'Drift of the zero, operator side'],
  zero_single: ['drift-zero', 'Drift of the zero'],
}
/** A rate takes about this many steady minutes. */
const MINUTES = 30

export const warmHold: VerificationTest = {
  id: 'warm.hold',
  stage: 'warm',
  title: 'Hold until drift can be judged',
  proves: 'Nothing creeps once the machine is warm.',
  effect: 'A zero or a gain that follows temperature or moisture eats the agreement over a shift.',
  caution: 'Guards closed, hands away.',
  steps: [
    'Run steadily for half an hour or more after the machine is warm.',
    'The capture may begin in the past: all of the zone that was recorded since counts.',
  ],
  shiftOf: 'hold',
  plan: ({ limits: { drift_percent_per_hour: rate } }) => ({
    fields: [],
    captures: [captureOf('hold', 'Warm running', 'Keep the process as it is.', 'any', MINUTES * 60)],
    limits: [{ text: `Drift: ±${rate.value} %/h, ±${rate.value} points/h`, source: rate.source }],
    notFor: null,
  }),
  judge(_, evidence) {
    const { shift } = evidence
    if (newest(evidence, 'hold') === undefined || shift === null) return notDone('missing: warm running')
    const told = shift.drifts.filter(({ quantity }) => quantity === 'agreement' || quantity === 'side_difference')
    const more = shift.drifts.filter((drift) => !told.includes(drift) && drift.rate.value !== null)
    const steps = measured({
      id: 'steps',
      title: 'Steps',
      value: shift.steps.length,
      unit: '',
      limit: { low: null, high: 0, text: 'none', source: 'a step is not a drift' },
      formula: 'levels that changed within a few minutes',
      source: 'lib/drift: steps stand out of how far neighbouring medians differ',
      inputs: [input('steady minutes', shift.minutes.judged, '')],
    })
    const temperature = shift.correlations.find((one) => one.quantity === 'agreement' && one.with === 'temperature')
    return resultOf(
      [
        ...[...told, ...more].map(fromDrift),
        steps,
        ...(temperature === undefined
          ? []
          : [
              measured({
                id: 'residual-with-temperature',
                title: 'Measured less expected, with temperature',
                value: temperature.slope,
                unit: '%/K',
                uRandom:
                  (Math.abs(temperature.slope) *
                    Math.sqrt(Math.max(0, 1 - temperature.rDetrended ** 2) / Math.max(1, temperature.effectiveN - 2))) /
                  Math.max(1e-3, Math.abs(temperature.rDetrended)),
                dof: Math.max(1, temperature.effectiveN - 2),
                limit: null,
                formula: 'least-squares slope after a straight line in time is taken off both',
                source: 'u of a slope from the correlation, r and n effective; it proves nothing by itself',
              }),
            ]),
      ],
      [
        'Look at Shift: what goes with temperature, what with time. Then insulation, clearance when warm, and zero at two temperatures.',
      ],
    )
  },
}

/** The rate's figure as a record keeps it. */
function fromDrift({ quantity, rate }: Drift): RecordFigure {
  const [id, title] = NAMES[quantity]
  return { id, title, side: null, point: null, answer: null, ...numbersOf(rate) }
}

export function numbersOf({ value, unit, u, uRandom, U, k, dof, limit, verdict, why }: Figure) {
  return {
    value,
    unit,
    u,
    uRandom,
    U,
    k,
    dof,
    limit:
      limit === null
        ? null
        : {
            low: limit.target - limit.half,
            high: limit.target + limit.half,
            text: `±${limit.half} ${unit}`,
            source: limit.source,
          },
    verdict,
    why: {
      formula: why.formula,
      source: why.source,
      inputs: why.inputs.map((one) => ({ name: one.name, value: one.value, unit: one.unit, u: one.u })),
    },
  }
}
