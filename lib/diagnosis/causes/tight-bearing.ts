import { all, amplitude, type Cause, spread, yes, zone } from '../cause.ts'
import { sizes } from '../severity-grid.ts'

export const tightBearing: Cause = {
  id: 'tight-bearing',
  title: 'Tight bearing, dragging seal or hose',
  words: 'The roller does not turn freely: the web pulls more on one span than on the other.',
  source: 'T_out − T_in = M_d/R; spin-down by hand',
  prior: 0.025,
  severity: sizes('tension lost over the roller', '%', 0.3, 30),
  predict: (percent) => [
    zone('spins-free', yes(0.08)),
    zone('nothing-touches', yes(0.6)),
    // Up the rope drags one way, down the other: half of what is lost, each way.
    all('hysteresis', amplitude(percent / 2, 2)),
    all('weight-zero-return', spread(percent / 6)),
    zone('agreement-now', spread(percent / 2)),
    zone('slope-common', spread(percent / 2)),
    zone('weight-common', spread(percent / 4)),
  ],
  remedy: 'Locked out, spin the roller by hand; free seal or hose, or change the bearing as its maker says.',
}
