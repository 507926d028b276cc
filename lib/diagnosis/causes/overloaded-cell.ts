import { add, amplitude, type Cause, own, spread, yes, zone } from '../cause.ts'
import { ownOffset } from '../mechanics.ts'
import { sizesEitherWay } from '../severity-grid.ts'

export const overloadedCell: Cause = {
  id: 'overloaded-cell',
  title: 'Overloaded cell',
  words: 'A cell was bent for good by an overload: its zero has stepped and does not come back.',
  source: 'permanent set of a spring body; sizes: common practice',
  prior: 0.025,
  severity: sizesEitherWay('step of the zero', '% of span', 0.5, 150),
  predict: (percent, seat) => [
    own('zero-step', add(percent)),
    own('zero-balance', add(percent * 0.4, Math.abs(percent) * 0.3)),
    own('bridge-error', spread(Math.min(3, Math.abs(percent) / 10))),
    zone('steps', amplitude(1, 1.5)),
    own('follows-cell', yes(0.85)),
    ...ownOffset(seat, percent, Math.abs(percent) * 0.1),
  ],
  remedy: 'Hold the unloaded cell against its certificate; an overloaded one is changed, not zeroed away.',
}
