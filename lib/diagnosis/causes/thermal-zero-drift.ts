import { add, amplitude, type Cause, own, spread, zone } from '../cause.ts'
import { usualForce } from '../mechanics.ts'
import { sizesEitherWay } from '../severity-grid.ts'

/** Change of temperature in a warm-up hour and over a shift, K (common practice). */
const KELVIN = 4
/** A hall with a machine in it warms over hours by so much, and by how much more or less, K/h (common practice). */
const WARMS = 1.5
const WARMS_SPREAD = 0.9
/**
 * A cell follows the hall with a time constant of half an hour and more: beside the trend, which counts for nothing, this
 * share of the slope is left, ± (first-order lag over a temperature that rises within hours).
 */
const LAGS = 0.5
const LAGS_SPREAD = 0.3

export const thermalZeroDrift: Cause = {
  id: 'thermal-zero-drift',
  title: 'Zero follows temperature',
  words: 'The zero of one side follows its temperature, smoothly up and down.',
  source: 'temperature effect on minimum dead load output, a term of OIML R 60; sizes: common practice',
  prior: 0.022,
  severity: sizesEitherWay('zero with temperature', '% of span/K', 0.02, 3),
  predict: (slope, { sign, pair, context }) => {
    const perForce = (pair ? 50 : 100) / usualForce(context)
    const [size, moved] = [Math.abs(slope), spread(slope * KELVIN)]
    const warming = (per: number) => add(slope * WARMS * per, size * WARMS_SPREAD * Math.abs(per))
    const lagging = (per: number) => add(slope * LAGS * per, size * LAGS_SPREAD * Math.abs(per))
    return [
      own('zero-with-temperature', add(slope, size * 0.15)),
      own('zero-drift', warming(1)),
      own('zero-step', moved),
      own('zero-return', moved),
      own('offset', moved),
      zone('agreement-now', spread(slope * KELVIN * perForce)),
      zone('temperature-effect', lagging(perForce)),
      zone('drift-residual', warming(perForce)),
      // What has moved while the web hung slack is a step when it runs again.
      zone('steps', amplitude(size * WARMS * perForce, 4)),
      ...(pair
        ? [
            zone('imbalance-now', spread(slope * KELVIN * perForce)),
            zone('temperature-difference', lagging(sign * perForce)),
            zone('drift-side-difference', warming(sign * perForce)),
          ]
        : []),
    ]
  },
  remedy: 'Zero warm; where that is not enough keep the heat away, or take a cell compensated for the range there is.',
}
