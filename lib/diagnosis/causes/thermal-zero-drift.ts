import { add, type Cause, own, spread, zone } from '../cause.ts'
import { usualForce } from '../mechanics.ts'
import { sizesEitherWay } from '../severity-grid.ts'

/** Change of temperature in a warm-up hour and over a shift, K (common practice). */
const KELVIN = 4

export const thermalZeroDrift: Cause = {
  id: 'thermal-zero-drift',
  title: 'Zero follows temperature',
  words: 'The zero of one side follows its temperature, smoothly up and down.',
  source: 'temperature effect on minimum dead load output, a term of OIML R 60; sizes: common practice',
  prior: 0.022,
  severity: sizesEitherWay('zero with temperature', '% of span/K', 0.02, 3),
  predict: (slope, { sign, pair, context }) => {
    const perForce = 50 / usualForce(context)
    return [
      own('zero-with-temperature', add(slope, Math.abs(slope) * 0.15)),
      own('zero-drift', spread(slope * KELVIN)),
      own('zero-return', spread(slope * KELVIN)),
      zone('temperature-effect', add(slope * perForce, Math.abs(slope) * 0.3 * perForce)),
      zone('drift-residual', spread(slope * KELVIN * perForce)),
      ...(pair
        ? [
            zone('temperature-difference', add(sign * slope * perForce, Math.abs(slope) * 0.3 * perForce)),
            zone('drift-side-difference', spread(slope * KELVIN * perForce)),
          ]
        : []),
    ]
  },
  remedy: 'Zero warm; where that is not enough keep the heat away, or take a cell compensated for the range there is.',
}
