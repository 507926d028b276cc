import { all, amplitude, type Cause, set, yes } from '../cause.ts'
import { sizes } from '../severity-grid.ts'

export const coarseResolution: Cause = {
  id: 'coarse-resolution',
  title: 'Resolution too coarse',
  words: 'Too few steps for the force there is: the signal is a staircase.',
  source: 'quantisation, u = step/√12 (JCGM 100, F.2.2.1)',
  prior: 0.018,
  severity: sizes('one step', '% of span', 0.1, 20),
  predict: (step) => [
    all('moves', yes(0.85)),
    all('distinct-values', set(Math.max(1.3, 1 + 4 / step), 1.8)),
    all('static-distinct', set(1.4, 1.5)),
    all('static-noise', amplitude(step / 8, 3)),
    all('noise', amplitude(step / 2, 2)),
  ],
  remedy:
    'A larger gain, a smaller range or a smaller cell; more averaging does not help a signal that stands on one step.',
}
