import { add, all, type Cause, zone } from '../cause.ts'
import { commonRatio, cosDeg, leanGravity } from '../mechanics.ts'
import { sizesEitherWay } from '../severity-grid.ts'

export const bothArrowsOff: Cause = {
  id: 'both-arrows-off',
  title: 'Both arrows off by the same angle',
  words: 'Both arrows stand off their target by the same angle: both sides read low by its cosine.',
  source: 'projection on the arrow, k = 2 sin(θ/2) cos δ',
  prior: 0.02,
  severity: sizesEitherWay('angle off the target, + leaning downstream', '°', 1, 45),
  predict: (angle, seat) => [
    all('arrow-error', add(angle, 0.4)),
    all('arrow-from-rope', add(angle, 0.4)),
    ...leanGravity(seat, angle, all),
    ...commonRatio(cosDeg(angle)),
    zone('weight-common', add(100 * (cosDeg(angle) - 1), 0.1)),
  ],
  remedy:
    'Locked out and with the roller held, turn both cells to the angle of the set-up card as the maker says; zero again.',
}
