import type { Side } from '../../../shared/sample.ts'
import type { Capture } from '../../../shared/schemas/verification/capture.ts'
import type { RecordFigure } from '../../../shared/schemas/verification/result.ts'
import { newest, sideOf } from '../captured.ts'
import { cellScale, spanOfSide, type VerificationContext } from '../context.ts'
import { captureOf } from '../fields.ts'
import { input, measured, untold } from '../figure.ts'
import { listed, within } from '../limits.ts'
import { notDone, resultOf } from '../result.ts'
import type { Evidence, VerificationTest } from '../test.ts'

export const warmZeroReturn: VerificationTest = {
  id: 'warm.zero-return',
  stage: 'warm',
  title: 'Return to zero after the stop',
  proves: 'With the web slack again, both sides come back to where the zero was taken.',
  effect: 'A zero that stays off adds a constant to every tension: binding, growth, creep or temperature.',
  caution: 'Stop under the site’s procedure; lock out before anybody touches web or roller.',
  steps: ['Stop while still warm, let the web hang slack or take it off, and leave the roller alone.'],
  plan: ({ limits }) => ({
    fields: [],
    captures: [captureOf('zero', 'Web slack', 'Leave everything still.', 'still', 10)],
    limits: [
      listed('Each side', within(limits.zero_return_percent, '% of span')),
      listed(
        'Zero with temperature, where it was captured at another one',
        within(limits.zero_with_temperature_percent_per_k, '% of span/K'),
      ),
    ],
    notFor: null,
  }),
  judge(context, evidence) {
    const capture = newest(evidence, 'zero')
    if (capture === undefined) return notDone('missing: web slack')
    const limit = within(context.limits.zero_return_percent, '%')
    return resultOf(
      context.sides.flatMap((side) => {
        const name = { id: 'zero-return', title: 'Off its zero', side }
        const force = sideOf(capture, side)?.force
        if (force == null) return [untold(name, '%', 'no good samples of this side', limit)]
        const span = spanOfSide(context, side)
        const { zero, unit, step, gainN } = cellScale(context, side)
        const off = measured({
          ...name,
          value: (100 * force.value) / span,
          unit: '%',
          uRandom: (100 * force.u) / span,
          parts: [
            { name: 'resolution of the reading', contribution: (100 * Math.abs(step * gainN)) / Math.sqrt(12) / span },
          ],
          limit,
          formula: '(reading − zero in force) × gain / span',
          source: 'against the zero in force, taken as it is',
          inputs: [
            input('off its zero', force.value, 'N', force.u),
            input('zero in force', zero, unit),
            input('span', span, 'N'),
          ],
        })
        return [off, ...withTemperature(context, evidence, capture, side)]
      }),
      ['Take the warm zero as a revision if it repeats; else look for clearance, free play and moisture.'],
    )
  },
}

/** Zeros nearer in temperature than this say nothing of it, K; and how well a temperature is known (common practice, no source). */
const APART_K = 5
const U_KELVIN = 0.5

/** The zero between two temperatures: against a standing capture of the record since anything was fitted, the furthest away. */
function withTemperature(context: VerificationContext, evidence: Evidence, warm: Capture, side: Side): RecordFigure[] {
  const now = sideOf(warm, side)?.electrical
  const colds = standingSince(evidence).flatMap((capture) => {
    const electrical = sideOf(capture, side)?.electrical
    if (electrical == null || capture.temperature === null || warm.temperature === null) return []
    const apart = warm.temperature.value - capture.temperature.value
    return Math.abs(apart) >= APART_K ? [{ electrical, apart }] : []
  })
  const [cold] = colds.toSorted((a, b) => Math.abs(b.apart) - Math.abs(a.apart))
  if (now == null || cold === undefined) return []
  const perUnit = (100 * cellScale(context, side).gainN) / spanOfSide(context, side) / cold.apart
  const value = (now.value - cold.electrical.value) * perUnit
  return [
    measured({
      id: 'zero-with-temperature',
      title: 'Zero with temperature',
      side,
      value,
      unit: '%/K',
      uRandom: Math.hypot(now.u, cold.electrical.u) * Math.abs(perUnit),
      parts: [{ name: 'temperatures', contribution: (Math.abs(value) * U_KELVIN * Math.SQRT2) / Math.abs(cold.apart) }],
      limit: within(context.limits.zero_with_temperature_percent_per_k, '%/K'),
      formula: '(reading warm − reading cold) × gain / span / (temperature warm − temperature cold)',
      source: 'two standing captures; u of a temperature of 0.5 K is assumed (common practice)',
      inputs: [input('warm less cold', cold.apart, 'K')],
    }),
  ]
}

/** Captures of the standing machine without web, since something was last fitted: what was fitted anew has another zero. */
function standingSince({ earlier }: Evidence): readonly Capture[] {
  const lastFit = earlier.findLastIndex((entry) => entry.kind === 'result' && entry.test.startsWith('fit.'))
  return earlier.slice(lastFit + 1).flatMap((entry) => {
    if (entry.kind !== 'result') return []
    const { test, captures } = entry
    return test === 'electric.channels' || test === 'warm.zero-return' ? captures : []
  })
}
