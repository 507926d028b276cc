import { amplitude, type Cause, own, set, spread, yes, zone } from '../cause.ts'
import { usualForce } from '../mechanics.ts'
import { sizes } from '../severity-grid.ts'

/** Leak that moves the zero by 1 % of a span that is a third of the rated 2 mV/V, at 350 Ω: 1000 · 350/(4 · 0.0067), MΩ, rounded. */
const LEAK_MEGOHM = 15
/** A wander that takes some minutes, as a slope of an hour: one way in two to ten of them (common practice). */
const AN_HOUR = 12

export const moisture: Cause = {
  id: 'moisture',
  title: 'Moisture, low insulation',
  words:
    'Water in cell, connector or cable leaks current: the zero wanders slowly, more in humid air or after washing.',
  source: 'a leak across one arm of a bridge moves its zero by R/(4 R_leak); insulation test. Sizes: common practice',
  prior: 0.025,
  severity: sizes('wander of the zero within some minutes', '% of span', 0.1, 20),
  predict: (wander, { context, pair }) => [
    own('insulation', set(Math.min(300, LEAK_MEGOHM / wander), 4)),
    // Over hours it comes and goes; within seconds it is on its way.
    own('zero-drift', spread(wander)),
    own('static-slope', spread(wander * AN_HOUR)),
    own('offset', spread(wander)),
    own('zero-return', spread(wander)),
    own('zero-step', spread(wander / 2)),
    own('zero-balance', spread(wander / 2)),
    // Points that are taken one after another meet another zero each.
    zone('agreement-now', spread((wander * 50) / usualForce(context))),
    zone('slope-common', spread((wander * 100) / usualForce(context))),
    ...(context.momentumPercent
      ? [zone('speed-effect', spread((wander * 5000) / usualForce(context) / context.momentumPercent))]
      : []),
    ...(pair
      ? [
          zone('imbalance-now', spread((wander * 50) / usualForce(context))),
          zone('slope-difference', spread((wander * 100) / usualForce(context))),
        ]
      : []),
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
