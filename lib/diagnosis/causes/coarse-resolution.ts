import { all, amplitude, type Cause, set, spread, yes, zone } from '../cause.ts'
import { usualForce } from '../mechanics.ts'
import { sizes } from '../severity-grid.ts'

export const coarseResolution: Cause = {
  id: 'coarse-resolution',
  title: 'Resolution too coarse',
  words: 'Too few steps for the force there is: the signal is a staircase.',
  source: 'quantisation, u = step/√12 (JCGM 100, F.2.2.1)',
  prior: 0.018,
  severity: sizes('one step', '% of span', 0.1, 20),
  predict: (step, { context }) => [
    all('moves', yes(0.85)),
    all('distinct-values', set(Math.max(1.3, 1 + 4 / step), 1.8)),
    all('static-distinct', set(1.4, 1.5)),
    // Steps so coarse that a live cell stands on one of them count as frozen.
    ...(step > 0.5 ? [all('alive', yes(0.5)), all('moves', yes(0.7))] : []),
    all('static-noise', step > 0.5 ? set(0.01, 30) : amplitude(step / 8, 3)),
    // On one step there is no noise at all, between two much of it.
    all('noise', step > 0.5 ? set(0.05, 30) : amplitude(step / 2, 2)),
    all('offset', spread(step * 3)),
    zone('slope-common', spread((150 * step) / usualForce(context))),
    zone('agreement-now', spread((50 * step) / usualForce(context))),
  ],
  remedy:
    'A larger gain, a smaller range or a smaller cell; more averaging does not help a signal that stands on one step.',
}
