import { all, type Cause, set, times } from '../cause.ts'
import { sizes } from '../severity-grid.ts'

export const filterTooHeavy: Cause = {
  id: 'filter-too-heavy',
  title: 'Filter too heavy',
  words: 'Both sides answer a step slowly and show no noise above a corner: what moves quickly is hidden.',
  source: 'step response of a low-pass: rise 2.2 τ',
  prior: 0.018,
  severity: sizes('rise time', 's', 1.5, 100),
  predict: (rise) => [
    all('rise', set(rise, 1.4)),
    all('noise', times(1 / Math.sqrt(1 + rise), 1.6)),
    all('static-noise', times(1 / Math.sqrt(1 + rise), 1.6)),
    all('once-per-turn', times(1 / (1 + rise), 2)),
  ],
  remedy: 'Set both filters of the amplifier to the shortest time that noise allows, alike on both sides.',
}
