import { all, amplitude, type Cause, times } from '../cause.ts'
import { quieter, USUAL_RISE_S } from '../mechanics.ts'
import { sizes } from '../severity-grid.ts'

export const filterTooHeavy: Cause = {
  id: 'filter-too-heavy',
  title: 'Filter too heavy',
  words: 'Both sides answer a step slowly and show no noise above a corner: what moves quickly is hidden.',
  source: 'step response of a low-pass: rise 2.2 τ',
  prior: 0.018,
  severity: sizes('rise time', 's', 1.5, 100),
  predict: (rise) => [
    // The line's own answer to a step comes on top.
    all('rise', amplitude(rise, 1.4)),
    ...quieter(all, rise / USUAL_RISE_S),
    all('once-per-turn', times((USUAL_RISE_S / rise) ** 1.5, (rise / USUAL_RISE_S) ** 0.5)),
  ],
  remedy: 'Set both filters of the amplifier to the shortest time that noise allows, alike on both sides.',
}
