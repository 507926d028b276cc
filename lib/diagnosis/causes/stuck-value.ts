import { add, type Cause, own, set, spread, yes, zone } from '../cause.ts'
import { present } from '../severity-grid.ts'

export const stuckValue: Cause = {
  id: 'stuck-value',
  title: 'Stuck value',
  words: 'One side gives the same number for ever while the other moves: it is not being read anew.',
  source: 'identical samples; communication counters',
  prior: 0.018,
  severity: present,
  predict: () => [
    own('moves', yes(0.02)),
    own('alive', yes(0.4)),
    own('distinct-values', set(1, 1.15)),
    own('static-distinct', set(1, 1.15)),
    own('push-mapped', yes(0.02)),
    own('noise', set(0.0015, 3)),
    own('static-noise', set(0.0002, 3)),
    own('follows-channel', yes(0.9)),
    // It shows what it showed once: where the web pulls more, or a weight hangs, half of what should come does not.
    zone('slope-common', add(-50, 20)),
    zone('slope-difference', spread(50)),
    zone('weight-common', add(-50, 20)),
    zone('weight-difference', spread(80)),
  ],
  remedy: 'Look at the communication counters of device and gateway; restart or service the device as its maker says.',
}
