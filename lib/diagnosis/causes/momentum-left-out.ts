import { add, type Cause, zone } from '../cause.ts'
import { sizesEitherWay } from '../severity-grid.ts'

export const momentumLeftOut: Cause = {
  id: 'momentum-left-out',
  title: 'Momentum of the web left out, or wrong basis weight',
  words:
    'The web’s own momentum m v² is not taken off, or with the wrong basis weight: right when slow, off when fast.',
  source: 'momentum balance of the wrapped web',
  prior: 0.02,
  severity: sizesEitherWay('left of m v²', '% of m v²', 12, 150),
  predict: (percent, { context: { momentumPercent } }) => [
    zone('speed-effect', add(percent, Math.abs(percent) * 0.1)),
    ...(momentumPercent === null
      ? []
      : [
          zone('agreement-now', add((percent * momentumPercent) / 100, Math.abs(percent * momentumPercent) / 300)),
          zone('slope-common', add(0, Math.abs(percent * momentumPercent) / 300)),
        ]),
  ],
  remedy:
    'Type the basis weight and width of the web that runs; where the amplifier takes m v² off too, do it once only.',
}
