import { add, type Cause, own, yes } from '../cause.ts'
import { ratioGravity, runningRatio, weightRatio } from '../mechanics.ts'
import { sizesEitherWay } from '../severity-grid.ts'

export const gainOneSide: Cause = {
  id: 'gain-one-side',
  title: 'Gain wrong on one side',
  words: 'One side reads the wrong share of its force: another rated output or capacity, or loss in a lead.',
  source: 'scale of the channel; loss in a lead as in any bridge circuit',
  prior: 0.035,
  pairOnly: true,
  severity: sizesEitherWay('gain off by', '%', 0.5, 60),
  predict: (percent, seat) => [
    ...runningRatio(seat, 1 + percent / 100),
    ...weightRatio(seat, 1 + percent / 100),
    ...ratioGravity(seat, 1 + percent / 100, own),
    // A lead loses the shunt's step too; a wrong rated output does not.
    own('shunt-error', add(percent / 2, Math.abs(percent) / 2)),
    // Exchanged at the amplifier, cell and lead go together.
    own('follows-cell', yes(0.85)),
    own('follows-channel', yes(0.08)),
  ],
  remedy: 'Hold rated output, capacity and leads against the certificate; then span that side with a known weight.',
}
