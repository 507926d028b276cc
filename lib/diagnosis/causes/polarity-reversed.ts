import { add, type Cause, own, yes, zone } from '../cause.ts'
import { ratioGravity, runningRatio, weightRatio } from '../mechanics.ts'
import { kinds } from '../severity-grid.ts'
import { opposedSlope } from './arrow-reversed.ts'

const AT_CELL = 1

export const polarityReversed: Cause = {
  id: 'polarity-reversed',
  title: 'Polarity reversed',
  words: 'One cell is wired the other way round: its signal falls when the web pulls, though its arrow is right.',
  source: 'bridge circuit: exchanged signal leads change the sign',
  prior: 0.02,
  // At the amplifier’s terminals a shunt loads whichever arm stands there, and rises as it should.
  severity: kinds('a shunt falls if it is connected at the cell (1), not at the amplifier (0)', [0, AT_CELL]),
  predict: (shunt, seat) => [
    own('push-falls', yes(0.99)),
    own('reads-negative', yes(0.97)),
    zone('step-opposed', yes(0.98)),
    ...(shunt === AT_CELL ? [own('shunt-error', add(-200, 3))] : []),
    ...runningRatio(seat, -1),
    ...weightRatio(seat, -1),
    ...ratioGravity(seat, -1, own),
    ...opposedSlope(seat.pair),
  ],
  remedy:
    'With the supply off, exchange the two signal leads of that cell as its maker’s wiring plan says; zero again.',
}
