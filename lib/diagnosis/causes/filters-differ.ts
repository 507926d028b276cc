import { add, type Cause, own, times, zone } from '../cause.ts'
import { quieter } from '../mechanics.ts'
import { sizes } from '../severity-grid.ts'

/**
 * Delay of half a step, ms, for each time that the rise is longer: 0.46 of a rise of 15 to 75 ms, corners of 5 to 25 Hz
 * (0.35/rise; common practice).
 */
const DELAY_MS = 20
const DELAY_SPREAD_MS = 13

export const filtersDiffer: Cause = {
  id: 'filters-differ',
  title: 'Filters differ between the sides',
  words: 'One side is filtered more than the other and lags: steps come later and slower there.',
  source: 'step response of a low-pass; sizes: common practice',
  prior: 0.012,
  pairOnly: true,
  severity: sizes('rise time, times that of the other side', '', 1.15, 30),
  predict: (ratio, { sign }) => [
    // The line's own slow answer may hide the filter's.
    zone('rise-ratio', times(ratio ** (sign / 2), Math.max(1.25, ratio ** 0.4))),
    zone('step-delay', add(sign * DELAY_MS * (ratio - 1), DELAY_SPREAD_MS * (ratio - 1))),
    ...quieter(own, ratio),
    own('rise', times(ratio ** 0.5, Math.max(1.5, ratio ** 0.4))),
  ],
  remedy: 'Set the same filter on both channels in the amplifier, as its maker says.',
}
