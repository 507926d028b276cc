import { add, type Cause, own, times, zone } from '../cause.ts'
import { sizes } from '../severity-grid.ts'

/** Delay of half a step behind a filter that slows the rise this much, ms (rise of 0.8 s, common practice). */
const DELAY_MS = 250

export const filtersDiffer: Cause = {
  id: 'filters-differ',
  title: 'Filters differ between the sides',
  words: 'One side is filtered more than the other and lags: steps come later and slower there.',
  source: 'step response of a low-pass; sizes: common practice',
  prior: 0.012,
  pairOnly: true,
  severity: sizes('rise time, times that of the other side', '', 1.15, 30),
  predict: (ratio, { sign }) => [
    zone('rise-ratio', times(sign > 0 ? ratio : 1 / ratio, 1.25)),
    zone('step-delay', add(sign * DELAY_MS * (ratio - 1), DELAY_MS * 0.7 * (ratio - 1))),
    own('noise', times(1 / Math.sqrt(ratio), 1.5)),
    own('rise', times(ratio, 1.5)),
  ],
  remedy: 'Set the same filter on both channels in the amplifier, as its maker says.',
}
