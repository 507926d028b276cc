import { add, type Cause, own, yes, zone } from '../cause.ts'
import { ratioGravity, runningRatio, weightRatio } from '../mechanics.ts'
import { present } from '../severity-grid.ts'
import { opposedSlope } from './arrow-reversed.ts'

export const polarityReversed: Cause = {
  id: 'polarity-reversed',
  title: 'Polarity reversed',
  words: 'One cell is wired the other way round: its signal falls when the web pulls, though its arrow is right.',
  source: 'bridge circuit: exchanged signal leads change the sign',
  prior: 0.02,
  severity: present,
  predict: (_, seat) => [
    own('push-falls', yes(0.99)),
    own('reads-negative', yes(0.97)),
    zone('step-opposed', yes(0.98)),
    own('shunt-error', add(-200, 3)),
    ...runningRatio(seat, -1),
    ...weightRatio(seat, -1),
    ...ratioGravity(seat, -1, own),
    ...opposedSlope(seat.pair),
  ],
  remedy:
    'With the supply off, exchange the two signal leads of that cell as its maker’s wiring plan says; zero again.',
}
