import { add, type Cause, zone } from '../cause.ts'
import { sizesEitherWay } from '../severity-grid.ts'

export const tensionChange: Cause = {
  id: 'tension-change',
  title: 'The tension itself changed',
  words: 'Nothing is wrong with the cells: the web pulls otherwise than before or than told.',
  source: 'both sides in proportion, and the reference with them',
  prior: 0.035,
  severity: sizesEitherWay('tension changed by', '%', 2, 80),
  predict: (percent, { context: { referenceIsTyped } }) => [
    zone('tension-change', add(percent)),
    ...(referenceIsTyped
      ? [zone('agreement-now', add(percent))]
      : [
          zone('reference-change', add(percent, Math.abs(percent) / 10)),
          // A set value that the line does not follow shows as a share; a measured reference follows, and nothing shows.
          zone('agreement-now', add(percent / 2, Math.abs(percent) / 2)),
          zone('slope-common', add(percent / 2, Math.abs(percent) / 2)),
        ]),
  ],
  remedy: 'Look at brake, dancer, drive and set value of the zone; the cells tell the truth.',
}
