import { add, type Cause, own, spread, type Touched, yes, zone } from '../cause.ts'
import { ratioGravity, runningRatio, weightRatio } from '../mechanics.ts'
import { present } from '../severity-grid.ts'

export const arrowReversed: Cause = {
  id: 'arrow-reversed',
  title: 'Arrow reversed',
  words: 'The load arrow of one cell points the other way: its signal falls when the web pulls.',
  source: 'projection on the arrow, cos 180° = −1',
  prior: 0.02,
  severity: present,
  predict: (_, seat) => [
    own('push-falls', yes(0.99)),
    own('reads-negative', yes(0.97)),
    zone('step-opposed', yes(0.98)),
    own('arrow-error', add(180, 3)),
    ...runningRatio(seat, -1),
    ...weightRatio(seat, -1),
    ...ratioGravity(seat, -1, own),
    ...opposedSlope(seat.pair),
  ],
  remedy:
    'Locked out under the site’s procedure, turn the cell to its target as its maker’s instructions say, and zero again.',
}

/** Off centre, what one side gains the other seems to gain too: the difference stands still. */
export const opposedSlope = (pair: boolean): readonly Touched[] =>
  pair ? [zone('off-centre-slope', add(-1, 0.1)), zone('sum-change', spread(60))] : []
