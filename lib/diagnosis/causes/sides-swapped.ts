import { add, all, type Cause, yes, zone } from '../cause.ts'
import { present } from '../severity-grid.ts'

export const sidesSwapped: Cause = {
  id: 'sides-swapped',
  title: 'Sides swapped',
  words: 'Each channel shows the other end: all looks plausible, the line of pull is mirrored.',
  source: 'moments about mid-span with the two readings exchanged',
  prior: 0.025,
  pairOnly: true,
  severity: present,
  predict: () => [
    all('push-mapped', yes(0.01)),
    zone('off-centre-slope', add(-2)),
    // A shunt at the cell shows on the other channel (−100 %), one at the amplifier on its own.
    all('shunt-error', add(-50, 60)),
  ],
  remedy: 'Exchange the two channels in the config, or the two plugs; then push each end again, locked out.',
}
