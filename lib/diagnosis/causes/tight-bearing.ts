import { add, all, amplitude, type Cause, spread, yes, zone } from '../cause.ts'
import { usualForce } from '../mechanics.ts'
import { sizesEitherWay } from '../severity-grid.ts'

export const tightBearing: Cause = {
  id: 'tight-bearing',
  title: 'Tight bearing, dragging seal or hose',
  words: 'The roller does not turn freely: the web pulls more on one span than on the other.',
  source: 'T_out − T_in = M_d/R; spin-down by hand',
  prior: 0.025,
  severity: sizesEitherWay('half of the tension lost over the roller', '% of span', 0.2, 20),
  // Lost newtons are the same at every tension: a constant part, up or down by the side on which the tension is told.
  predict: (percent, { context }) => [
    zone('spins-free', yes(0.08)),
    zone('nothing-touches', yes(0.6)),
    all('offset', add(percent, Math.abs(percent) * 0.25)),
    zone('agreement-now', add((100 * percent) / usualForce(context), (25 * Math.abs(percent)) / usualForce(context))),
    // Up the rope drags one way, down the other: half of what is lost, each way.
    all('hysteresis', amplitude(Math.abs(percent), 2)),
    all('weight-zero-return', spread(percent / 3)),
    zone('weight-common', spread((50 * percent) / usualForce(context))),
  ],
  remedy: 'Locked out, spin the roller by hand; free seal or hose, or change the bearing as its maker says.',
}
