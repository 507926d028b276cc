import { add, all, type Cause, zone } from '../cause.ts'
import { commonRatio, scaledGravity } from '../mechanics.ts'
import { sizesEitherWay } from '../severity-grid.ts'

export const spanWrong: Cause = {
  id: 'span-wrong',
  title: 'Span wrong, alike on both sides',
  words:
    'Both sides read the same wrong share of their force: a wrong weight, wrap or rated output went into the span.',
  source: 'ratio of measured to expected, constant and equal on both sides',
  prior: 0.035,
  severity: sizesEitherWay('span off by', '%', 1, 80),
  predict: (percent, seat) => [
    ...commonRatio(1 + percent / 100),
    zone('weight-common', add(percent)),
    ...scaledGravity(seat, 1 + percent / 100),
    all('shunt-error', add(percent / 2, Math.abs(percent) / 2)),
  ],
  remedy: 'Span again with a known weight at mid-span along the true web path.',
}
