import { add, all, type Cause, yes, zone } from '../cause.ts'
import { commonRatio, ratioGravity } from '../mechanics.ts'
import { kinds } from '../severity-grid.ts'

const BY_ARROW = 1
/** By wire, with a shunt at the amplifier’s terminals, which rises as it should. */
const AT_AMPLIFIER = 2

export const bothReversed: Cause = {
  id: 'both-reversed',
  title: 'Both sides reversed',
  words: 'Both signals fall when the web pulls: both arrows or both polarities the other way round.',
  source: 'projection on the arrow; bridge circuit',
  prior: 0.012,
  pairOnly: true,
  severity: kinds('by wire (0; 2 with a shunt at the amplifier) or by arrow (1)', [0, BY_ARROW, AT_AMPLIFIER]),
  predict: (kind, seat) => [
    all('push-falls', yes(0.99)),
    all('reads-negative', yes(0.97)),
    ...(kind === BY_ARROW ? [all('arrow-error', add(180, 3))] : []),
    ...(kind === 0 ? [all('shunt-error', add(-200, 3))] : []),
    ...commonRatio(-1),
    zone('weight-common', add(-200)),
    zone('off-centre-slope', add(-2, 0.1)),
    ...ratioGravity(seat, -1, all),
  ],
  remedy:
    'Look at both arrows, then at the wiring; locked out, put right what is turned as the maker’s instructions say.',
}
