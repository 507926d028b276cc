import { add, amplitude, type Cause, own, type Seat, spread, type Touched, zone } from '../cause.ts'
import { ownOffset, usualForce } from '../mechanics.ts'
import { sizesEitherWay } from '../severity-grid.ts'

/** While it is watched it goes back; where the watching began after it had gone (the other way), nothing of this is seen. */
function fading(size: number, { context, pair, sign }: Seat): readonly Touched[] {
  const perForce = 50 / usualForce(context)
  const back = (per: number) => add((-size * per) / 2, (Math.abs(size * per) * 2) / 5)
  return [
    own('zero-drift', back(1)),
    own('static-slope', spread(size * 0.7)),
    zone('drift-residual', back(perForce)),
    // What has moved while the web hung slack is a step when it runs again.
    zone('steps', amplitude(Math.abs(size) * perForce, 4)),
    ...(pair ? [zone('drift-side-difference', back(sign * perForce))] : []),
  ]
}

export const cellTemperatureGradient: Cause = {
  id: 'cell-temperature-gradient',
  title: 'One cell unevenly warm',
  words: 'One end of a cell is warmer than the other: its zero is off for a while and comes back at thermal balance.',
  source: 'gauges of a bridge at unequal temperatures. Sizes: common practice',
  prior: 0.015,
  severity: sizesEitherWay('transient of the zero', '% of span', 0.2, 25),
  predict: (size, seat) => [
    ...(seat.otherWay ? [] : fading(size, seat)),
    // Told while it lasts, all within one hour, at about one share of it; at the end of a warm day it has gone.
    ...ownOffset(seat, size * 0.7, Math.abs(size) * 0.12).filter(({ feature }) => feature !== 'zero-return'),
    own('zero-return', spread(size * 0.3)),
  ],
  remedy: 'Wait for thermal balance and zero then; shield that end from the heat or draught, as the site allows.',
}
