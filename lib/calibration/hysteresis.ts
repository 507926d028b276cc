import { type CalibrationContext, resolutionInput } from './context.ts'
import { type CalibrationOutcome, cannot, plainInput } from './figure.ts'
import { halfDifferenceSlope, halfDifferences } from './up-down.ts'

/** Said of a series that was read one way only. */
const ONE_WAY = 'needs a force other than 0 read both up and down in one cycle'

/**
 * Hysteresis: the largest difference between up and down at one force, meaned over the cycles, in % of span
 * (hysteresis error of OIML R 60). It holds the friction of rope and bearings too. Needs a force other than 0
 * read both ways; zero apart is the zero return.
 */
export function hysteresis(context: CalibrationContext, unit: string): CalibrationOutcome {
  const halves = halfDifferences(context.levels).filter(({ force }) => force !== 0)
  const [first] = halves
  if (first === undefined) return cannot(`hysteresis ${ONE_WAY}`)
  const worst = halves.reduce((most, one) => (Math.abs(one.half) > Math.abs(most.half) ? one : most), first)
  const toPercent = 100 / context.spanReading
  return {
    kind: 'told',
    quantity: {
      value: 2 * Math.abs(worst.half) * toPercent,
      ...randomOf(context, Math.sqrt(2 / worst.cycles) * toPercent),
      systematic: resolutionInput(context, unit, Math.SQRT2 * toPercent),
      inputs: [plainInput('at force', worst.force, 'N'), plainInput('span', context.spanN, 'N')],
    },
  }
}

/**
 * Friction of rope and bearings plus hysteresis, in % of the force: half the difference between up and down, as a
 * straight line through the origin. Positive when the reading is higher on the way up. For information: a dragging
 * roller shows here. Same need as `hysteresis`.
 */
export function upDownHalfDifference(context: CalibrationContext): CalibrationOutcome {
  const halves = halfDifferences(context.levels)
  const slope = halfDifferenceSlope(halves)
  if (slope === undefined) return cannot(`friction of rope and bearings plus hysteresis ${ONE_WAY}`)
  const square = halves.reduce((sum, { force, cycles }) => sum + cycles * force * force, 0)
  const toPercent = 100 / Math.abs(context.line.slope)
  return {
    kind: 'told',
    quantity: {
      value: slope.perNewton * Math.sign(context.line.slope) * toPercent,
      ...randomOf(context, toPercent / Math.sqrt(2 * square)),
      systematic: [],
      inputs: halves.map(({ force, half }) =>
        plainInput(`half-difference at ${Number(force.toPrecision(4))} N`, half, ''),
      ),
    },
  }
}

function randomOf({ readingScatter }: CalibrationContext, sensitivity: number) {
  return {
    uRandom: readingScatter === undefined ? undefined : readingScatter.sd * sensitivity,
    dof: readingScatter?.dof ?? Number.POSITIVE_INFINITY,
  }
}
