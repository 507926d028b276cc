import { add, type Cause, own, yes } from '../cause.ts'
import { present } from '../severity-grid.ts'

export const openBridge: Cause = {
  id: 'open-bridge',
  title: 'Open bridge, cut wire',
  words: 'A wire or gauge is open: the signal is at a rail, under 3.6 mA, or no number.',
  source: 'NAMUR NE 43; bridge circuit',
  prior: 0.025,
  severity: present,
  predict: () => [
    own('alive', yes(0.05)),
    own('in-band', yes(0.1)),
    own('bridge-error', add(5000, 4000)),
    own('bridge-input-error', add(2000, 4000)),
    own('push-mapped', yes(0.02)),
    own('follows-cell', yes(0.85)),
    own('cables-seated', yes(0.6)),
  ],
  remedy: 'With the amplifier disconnected measure the bridge; mend or change cable or cell as its maker says.',
}
