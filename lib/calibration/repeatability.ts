import { type CalibrationContext, resolutionInput } from './context.ts'
import { type CalibrationOutcome, cannot, plainInput } from './figure.ts'
import type { Direction } from './series.ts'

const DIRECTIONS: readonly Direction[] = ['up', 'down']

/**
 * Repeatability: the largest spread, highest less lowest, of the readings at one force and direction over the
 * cycles, in % of span (repeatability error of OIML R 60). It is what was seen, so scatter is not an uncertainty
 * of it; the step of the reading is. Needs two cycles that share a force and a direction.
 */
export function repeatability(context: CalibrationContext, unit: string): CalibrationOutcome {
  const spreads = context.levels.flatMap(({ force, cycles }) =>
    DIRECTIONS.flatMap((direction) => {
      const readings = cycles.flatMap((point) => point[direction] ?? [])
      return readings.length < 2 ? [] : [{ force, n: readings.length, spread: spreadOf(readings) }]
    }),
  )
  const [first] = spreads
  if (first === undefined) return cannot('repeatability needs two cycles that read one force in one direction')
  const worst = spreads.reduce((most, one) => (one.spread > most.spread ? one : most), first)
  const toPercent = 100 / context.spanReading
  return {
    kind: 'told',
    quantity: {
      value: worst.spread * toPercent,
      uRandom: 0,
      dof: Number.POSITIVE_INFINITY,
      systematic: resolutionInput(context, unit, Math.SQRT2 * toPercent),
      inputs: [
        plainInput('at force', worst.force, 'N'),
        plainInput('cycles', worst.n, '1'),
        plainInput('span', context.spanN, 'N'),
      ],
    },
  }
}

const spreadOf = (readings: readonly number[]): number => Math.max(...readings) - Math.min(...readings)
