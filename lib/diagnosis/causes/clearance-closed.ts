import { add, type Cause, own, spread, zone } from '../cause.ts'
import { usualForce } from '../mechanics.ts'
import { sizesEitherWay } from '../severity-grid.ts'

export const clearanceClosed: Cause = {
  id: 'clearance-closed',
  title: 'End clearance closed by heat',
  words: 'The warm shaft has grown into its end clearance and pushes the cells: nothing cold, an offset when warm.',
  source: 'growth L (α_r ΔT_r − α_f ΔT_f) against the clearance',
  prior: 0.018,
  severity: sizesEitherWay('offset once it touches', '% of span/K', 0.03, 5),
  predict: (slope, { sign, pair, context }) => [
    own('end-clearance', add(-1.6, 0.6)),
    zone('growth-margin', add(-1.7, 0.6)),
    own('zero-with-temperature', add(slope * 0.5, Math.abs(slope) * 0.4)),
    own('zero-return', spread(slope * 8)),
    zone('temperature-effect', spread((slope * 50) / usualForce(context))),
    zone('drift-residual', spread((slope * 50) / usualForce(context))),
    ...(pair
      ? [
          zone(
            'temperature-difference',
            add((sign * slope * 40) / usualForce(context), (Math.abs(slope) * 30) / usualForce(context)),
          ),
          zone('drift-side-difference', spread((slope * 60) / usualForce(context))),
        ]
      : []),
  ],
  remedy: 'Locked out and cold, set the end clearance that the growth needs, as the makers of cell and bearing say.',
}
