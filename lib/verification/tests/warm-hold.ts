import type { Drift, ShiftAnalysis } from '../../../shared/schemas/shift.ts'
import type { RecordFigure } from '../../../shared/schemas/verification/result.ts'
import { newest } from '../captured.ts'
import { captureOf } from '../fields.ts'
import { asRecorded, input, measured, untold } from '../figure.ts'
import { notDone, resultOf } from '../result.ts'
import type { VerificationTest } from '../test.ts'

/** What may drift, as a record names it. */
const NAMES: Readonly<Record<Drift['quantity'], readonly [id: string, title: string]>> = {
  agreement: ['drift-residual', 'Drift of the agreement'],
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
  plan: ({ geometry, sides, limits: { drift_percent_per_hour: rate } }) => ({
    fields: [],
    captures: [captureOf('hold', 'Warm running', 'Keep the process as it is.', 'any', MINUTES * 60)],
    limits: [{ text: `Drift: ±${rate.value} %/h, ±${rate.value} points/h`, source: rate.source }],
    notFor:
      geometry === null && sides.length === 1
        ? 'one cell and no geometry: nothing tells drift from a change of tension'
        : null,
  }),
  judge(_, evidence) {
    const { shift } = evidence
    if (newest(evidence, 'hold') === undefined || shift === null) return notDone('missing: warm running')
    const told = shift.drifts.filter(({ quantity }) => quantity === 'agreement' || quantity === 'side_difference')
    const more = shift.drifts.filter((drift) => !told.includes(drift) && drift.rate.value !== null)
    if (told.length === 0) return notDone('missing: minutes in which a drift could be told')
    const temperature = shift.correlations.find((one) => one.quantity === 'agreement' && one.with === 'temperature')
    return resultOf(
      [
        ...[...told, ...more].map(fromDrift),
        stepsIn(shift),
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

const NO_STEP = { low: null, high: 0, text: 'none', source: 'a step is not a drift' }

function stepsIn({ steps, minutes }: ShiftAnalysis): RecordFigure {
  const name = { id: 'steps', title: 'Steps' }
  // None found in a few minutes says nothing.
  if (steps.length === 0 && minutes.judged < MINUTES)
    return untold(name, '', `${MINUTES} steady minutes; ${minutes.judged} so far`, NO_STEP)
  return measured({
    ...name,
    value: steps.length,
    unit: '',
    limit: NO_STEP,
    formula: 'levels that changed within a few minutes',
    source: 'steps stand out of how far neighbouring medians differ',
    inputs: [input('steady minutes', minutes.judged, '')],
  })
}

/** The rate's figure as a record keeps it. */
function fromDrift({ quantity, rate }: Drift): RecordFigure {
  const [id, title] = NAMES[quantity]
  return asRecorded({ id, title }, rate)
}
