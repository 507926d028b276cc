import { add, all, type Cause, yes, zone } from '../cause.ts'
import { commonRatio, ratioGravity } from '../mechanics.ts'
import { kinds } from '../severity-grid.ts'

const BY_ARROW = 1

export const bothReversed: Cause = {
  id: 'both-reversed',
  title: 'Both sides reversed',
  words: 'Both signals fall when the web pulls: both arrows or both polarities the other way round.',
  source: 'projection on the arrow; bridge circuit',
  prior: 0.012,
  pairOnly: true,
  severity: kinds('by wire (0) or by arrow (1)', [0, BY_ARROW]),
  predict: (kind, seat) => [
    all('push-falls', yes(0.99)),
    all('reads-negative', yes(0.97)),
    ...(kind === BY_ARROW ? [all('arrow-error', add(180, 3))] : [all('shunt-error', add(-200, 3))]),
    ...commonRatio(-1),
    zone('weight-common', add(-200)),
    zone('off-centre-slope', add(-2, 0.1)),
    ...ratioGravity(seat, -1, all),
  ],
  remedy:
    'Look at both arrows, then at the wiring; locked out, put right what is turned as the maker’s instructions say.',
}
