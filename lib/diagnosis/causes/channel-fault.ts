import { add, amplitude, type Cause, own, spread, yes } from '../cause.ts'
import { ratioGravity, runningRatio, weightRatio } from '../mechanics.ts'
import { sizesEitherWay } from '../severity-grid.ts'

export const channelFault: Cause = {
  id: 'channel-fault',
  title: 'Fault of an amplifier channel',
  words: 'The amplifier channel is at fault: what is wrong stays with the channel when the cells are exchanged.',
  source: 'exchange of two parts, one at a time; sizes: common practice',
  prior: 0.018,
  severity: sizesEitherWay('channel off by', '%', 1, 60),
  predict: (percent, seat) => [
    ...runningRatio(seat, 1 + percent / 100),
    ...weightRatio(seat, 1 + percent / 100),
    ...ratioGravity(seat, 1 + percent / 100, own),
    own('shunt-error', add(percent, Math.abs(percent) / 10)),
    own('offset', spread(percent / 4)),
    own('zero-return', spread(percent / 4)),
    own('noise', amplitude(Math.abs(percent) / 20, 3)),
    own('static-noise', amplitude(Math.abs(percent) / 60, 4)),
    own('excitation-error', spread(percent / 3)),
    own('follows-channel', yes(0.96)),
    own('follows-cell', yes(0.02)),
  ],
  remedy: 'Put the cell on a spare channel, or have the amplifier serviced by its maker; span and zero again.',
}
