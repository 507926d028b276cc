import { add, type Cause, own, spread, yes, zone } from '../cause.ts'
import { sizesEitherWay } from '../severity-grid.ts'

export const spanDrift: Cause = {
  id: 'span-drift',
  title: 'Gain moves with time',
  words: 'The gain of one side moves: its ratio to expected changes, its zero does not.',
  source: 'ratio and offset of a line at two times; sizes: common practice',
  prior: 0.015,
  severity: sizesEitherWay('gain moves by', '%/h', 0.1, 20),
  predict: (rate, { sign, pair }) => [
    zone('span-drift', add(pair ? rate / 2 : rate, Math.abs(rate) / 10)),
    zone('drift-residual', add(pair ? rate / 2 : rate, Math.abs(rate) / 10)),
    ...(pair ? [zone('drift-side-difference', add((sign * rate) / 2, Math.abs(rate) / 10))] : []),
    own('excitation-error', spread(rate)),
    own('shunt-error', spread(rate)),
    own('follows-cell', yes(0.4)),
    own('follows-channel', yes(0.4)),
  ],
  remedy: 'Measure excitation and the shunt step now and later; the part that moved is changed, then span again.',
}
