import { add, all, type Cause, yes, zone } from '../cause.ts'
import { kinds } from '../severity-grid.ts'

const AT_AMPLIFIER = 1
const AT_CELL = 2

export const sidesSwapped: Cause = {
  id: 'sides-swapped',
  title: 'Sides swapped',
  words: 'Each channel shows the other end: all looks plausible, the line of pull is mirrored.',
  source: 'moments about mid-span with the two readings exchanged',
  prior: 0.025,
  pairOnly: true,
  // At the cell a shunt shows on the other channel only, at the amplifier’s terminals on its own.
  severity: kinds('a shunt fails to show if it is connected at the cell (2), not at the amplifier (1)', [
    AT_AMPLIFIER,
    AT_CELL,
  ]),
  predict: (shunt) => [
    all('push-mapped', yes(0.01)),
    zone('off-centre-slope', add(-2)),
    ...(shunt === AT_CELL ? [all('shunt-error', add(-100, 3))] : []),
  ],
  remedy: 'Exchange the two channels in the config, or the two plugs; then push each end again, locked out.',
}
