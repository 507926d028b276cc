import { amplitude, type Cause, own, set, spread, yes, zone } from '../cause.ts'
import { usualForce } from '../mechanics.ts'
import { sizes } from '../severity-grid.ts'

export const moisture: Cause = {
  id: 'moisture',
  title: 'Moisture, low insulation',
  words:
    'Water in cell, connector or cable leaks current: the zero wanders slowly, more in humid air or after washing.',
  source: 'leakage across a bridge; insulation test. Sizes: common practice',
  prior: 0.025,
  severity: sizes('wander of the zero', '% of span/h', 0.1, 20),
  predict: (wander, { context, pair }) => [
    own('insulation', set(Math.min(300, 30 / wander), 8)),
    own('zero-drift', spread(wander)),
    own('static-slope', spread(wander)),
    own('offset', spread(wander)),
    own('zero-return', spread(wander)),
    own('zero-step', spread(wander / 2)),
    own('zero-balance', spread(wander / 2)),
    // A zero that wanders while weights are hung looks like all of these.
    own('hysteresis', amplitude(wander, 4)),
    own('repeatability', amplitude(wander * 2, 4)),
    own('nonlinearity', amplitude(wander, 4)),
    own('weight-zero-return', spread(wander * 2)),
    own('static-noise', amplitude(wander / 10, 5)),
    zone('drift-residual', spread((wander * 50) / usualForce(context))),
    ...(pair ? [zone('drift-side-difference', spread((wander * 50) / usualForce(context)))] : []),
    own('follows-cell', yes(0.75)),
  ],
  remedy: 'With the amplifier disconnected measure insulation; dry and seal connector and cable, or change the cell.',
}
