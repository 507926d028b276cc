import type { Act } from './act.ts'
import { closeGuards } from './acts/close-guards.ts'
import { disableDrive } from './acts/disable-drive.ts'
import { enableDrive } from './acts/enable-drive.ts'
import { hangWeight } from './acts/hang-weight.ts'
import { letGo } from './acts/let-go.ts'
import { liftRoller } from './acts/lift-roller.ts'
import { lockOut } from './acts/lock-out.ts'
import { openGuards } from './acts/open-guards.ts'
import { pushEnd } from './acts/push-end.ts'
import { setDownRoller } from './acts/set-down-roller.ts'
import { setTension } from './acts/set-tension.ts'
import { start } from './acts/start.ts'
import { stop } from './acts/stop.ts'
import { takeWebOff } from './acts/take-web-off.ts'
import { takeWeightOff } from './acts/take-weight-off.ts'
import { threadWeb } from './acts/thread-web.ts'
import { unlock } from './acts/unlock.ts'
import { wait } from './acts/wait.ts'

/** Every act by its id. A new one gets its id in `ACT_IDS` and its line here. */
export const ACT_IDS = [
  'stop',
  'lock-out',
  'open-guards',
  'close-guards',
  'unlock',
  'start',
  'set-tension',
  'enable-drive',
  'disable-drive',
  'take-web-off',
  'thread-web',
  'lift-roller',
  'set-down-roller',
  'push-end',
  'let-go',
  'hang-weight',
  'take-weight-off',
  'wait',
] as const
export type ActId = (typeof ACT_IDS)[number]

export const ACTS: Readonly<Record<ActId, Act>> = {
  stop,
  'lock-out': lockOut,
  'open-guards': openGuards,
  'close-guards': closeGuards,
  unlock,
  start,
  'set-tension': setTension,
  'enable-drive': enableDrive,
  'disable-drive': disableDrive,
  'take-web-off': takeWebOff,
  'thread-web': threadWeb,
  'lift-roller': liftRoller,
  'set-down-roller': setDownRoller,
  'push-end': pushEnd,
  'let-go': letGo,
  'hang-weight': hangWeight,
  'take-weight-off': takeWeightOff,
  wait,
}

export function isActId(id: string): id is ActId {
  return Object.hasOwn(ACTS, id)
}
