import { add, type Cause, zone } from '../cause.ts'
import { sizesEitherWay } from '../severity-grid.ts'

export const tensionChange: Cause = {
  id: 'tension-change',
  title: 'The tension itself changed',
  words: 'Nothing is wrong with the cells: the web pulls otherwise than before or than told.',
  source: 'both sides in proportion, and the reference with them',
  prior: 0.035,
  severity: sizesEitherWay('tension changed by', '%', 2, 80),
  predict: (percent, { context: { referenceIsTyped }, otherWay }) => [
    zone('tension-change', add(percent)),
    ...(otherWay && !referenceIsTyped
      ? // A reference that is measured follows: measured and expected agree, and the change itself is all there is.
        [zone('reference-change', add(percent, Math.abs(percent) / 10))]
      : [
          zone('agreement-now', add(percent, Math.abs(percent) / 10)),
          // A typed tension has no second one to take a slope over.
          ...(referenceIsTyped ? [] : [zone('slope-common', add(percent, Math.abs(percent) / 10))]),
        ]),
  ],
  remedy: 'Look at brake, dancer, drive and set value of the zone; the cells tell the truth.',
}
