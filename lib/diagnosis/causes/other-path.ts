import { add, all, type Cause, spread, yes, zone } from '../cause.ts'
import { commonRatio } from '../mechanics.ts'
import { kinds, sizesEitherWay } from '../severity-grid.ts'

export const otherPath: Cause = {
  id: 'other-path',
  title: 'The web runs another path',
  words: 'The web wraps the roller otherwise than drawn: the ratio to expected is that of another path’s force factor.',
  source: 'force factors of both paths, k = 2 sin(θ/2) cos δ',
  prior: 0.025,
  severity: ({ otherPathsPercent }) =>
    otherPathsPercent.length > 0
      ? kinds('another path reads', otherPathsPercent, '%')
      : sizesEitherWay('another path reads', '%', 3, 90),
  predict: (percent) => [
    zone('path-as-drawn', yes(0.03)),
    ...commonRatio(1 + percent / 100),
    zone('core-full-change', spread(Math.abs(percent) / 10)),
    zone('slope-common', add(0, 1)),
    ...(percent < -100 ? [all('reads-negative', yes(0.95))] : []),
  ],
  remedy:
    'Stand clear of the moving web and compare its path with the drawing; thread it as drawn, or draw it as it runs.',
}
