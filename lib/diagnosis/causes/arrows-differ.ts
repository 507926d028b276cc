import { add, type Cause, own } from '../cause.ts'
import { cosDeg, leanGravity, runningRatio, weightRatio } from '../mechanics.ts'
import { sizesEitherWay } from '../severity-grid.ts'

export const arrowsDiffer: Cause = {
  id: 'arrows-differ',
  title: 'One arrow off its target',
  words: 'One arrow stands off its target and the other is right: a small side difference in proportion to tension.',
  source: 'projection on the arrow; I = (1 − cos δ)/(1 + cos δ) = tan²(δ/2)',
  prior: 0.04,
  pairOnly: true,
  severity: sizesEitherWay('angle off the target, + leaning downstream', '°', 1, 60),
  predict: (angle, seat) => [
    own('arrow-error', add(angle)),
    own('arrow-from-rope', add(angle)),
    ...leanGravity(seat, angle, own),
    ...runningRatio(seat, cosDeg(angle)),
    ...weightRatio(seat, cosDeg(angle)),
  ],
  remedy:
    'Locked out and with the roller held, turn that cell to the angle of the set-up card as its maker says; zero again.',
}
