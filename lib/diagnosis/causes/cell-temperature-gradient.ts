import { add, type Cause, own, spread, zone } from '../cause.ts'
import { ownOffset, usualForce } from '../mechanics.ts'
import { sizesEitherWay } from '../severity-grid.ts'

export const cellTemperatureGradient: Cause = {
  id: 'cell-temperature-gradient',
  title: 'One cell unevenly warm',
  words: 'One end of a cell is warmer than the other: its zero is off for a while and comes back at thermal balance.',
  source: 'gauges of a bridge at unequal temperatures. Sizes: common practice',
  prior: 0.015,
  severity: sizesEitherWay('transient of the zero', '% of span', 0.2, 25),
  predict: (size, seat) => [
    own('zero-drift', spread(size * 0.7)),
    own('static-slope', spread(size * 0.7)),
    // Told while it lasts, all within one hour, at about one share of it; at the end of a warm day it has gone.
    ...ownOffset(seat, size * 0.7, Math.abs(size) * 0.12).filter(({ feature }) => feature !== 'zero-return'),
    own('zero-return', spread(size * 0.3)),
    zone('drift-residual', spread((size * 30) / usualForce(seat.context))),
    ...(seat.pair
      ? [
          zone(
            'drift-side-difference',
            add((-seat.sign * size * 25) / usualForce(seat.context), (Math.abs(size) * 20) / usualForce(seat.context)),
          ),
        ]
      : []),
  ],
  remedy: 'Wait for thermal balance and zero then; shield that end from the heat or draught, as the site allows.',
}
