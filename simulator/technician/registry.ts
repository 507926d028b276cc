import type { Act } from './act.ts'
import { balanceRoller } from './acts/balance-roller.ts'
import { checkFreePlay } from './acts/check-free-play.ts'
import { cleanBearing } from './acts/clean-bearing.ts'
import { closeGuards } from './acts/close-guards.ts'
import { connectShunt } from './acts/connect-shunt.ts'
import { connectSimulator } from './acts/connect-simulator.ts'
import { disableDrive } from './acts/disable-drive.ts'
import { disconnectInstruments } from './acts/disconnect-instruments.ts'
import { dryConnector } from './acts/dry-connector.ts'
import { enableDrive } from './acts/enable-drive.ts'
import { freeCell } from './acts/free-cell.ts'
import { hangWeight } from './acts/hang-weight.ts'
import { letGo } from './acts/let-go.ts'
import { levelRoller } from './acts/level-roller.ts'
import { liftRoller } from './acts/lift-roller.ts'
import { lockOut } from './acts/lock-out.ts'
import { lookAtCounters } from './acts/look-at-counters.ts'
import { lookAtFit } from './acts/look-at-fit.ts'
import { lookAtPath } from './acts/look-at-path.ts'
import { lookAtWiring } from './acts/look-at-wiring.ts'
import { measureArrow } from './acts/measure-arrow.ts'
import { measureBridge } from './acts/measure-bridge.ts'
import { measureClearance } from './acts/measure-clearance.ts'
import { measureExcitation } from './acts/measure-excitation.ts'
import { measureInsulation } from './acts/measure-insulation.ts'
import { measureLevel } from './acts/measure-level.ts'
import { measureRunout } from './acts/measure-runout.ts'
import { measureWebPosition } from './acts/measure-web-position.ts'
import { mendEnd } from './acts/mend-end.ts'
import { moveWebGuide } from './acts/move-web-guide.ts'
import { openGuards } from './acts/open-guards.ts'
import { pushEnd } from './acts/push-end.ts'
import { readKnobs } from './acts/read-knobs.ts'
import { replaceCable } from './acts/replace-cable.ts'
import { replaceCell } from './acts/replace-cell.ts'
import { replaceChannel } from './acts/replace-channel.ts'
import { rethreadAsDrawn } from './acts/rethread-as-drawn.ts'
import { setClearance } from './acts/set-clearance.ts'
import { setDownRoller } from './acts/set-down-roller.ts'
import { setTension } from './acts/set-tension.ts'
import { spinDown } from './acts/spin-down.ts'
import { start } from './acts/start.ts'
import { stop } from './acts/stop.ts'
import { swapCables } from './acts/swap-cables.ts'
import { swapLeads } from './acts/swap-leads.ts'
import { takeWebOff } from './acts/take-web-off.ts'
import { takeWeightOff } from './acts/take-weight-off.ts'
import { threadWeb } from './acts/thread-web.ts'
import { tightenClamps } from './acts/tighten-clamps.ts'
import { turnArrow } from './acts/turn-arrow.ts'
import { turnKnob } from './acts/turn-knob.ts'
import { unlock } from './acts/unlock.ts'
import { wait } from './acts/wait.ts'
import { wiggleCable } from './acts/wiggle-cable.ts'

/** Every act by its id, in the order of a list to choose from. A new one gets its line here. */
export const ACTS = {
  // The line at its controls.
  stop,
  'lock-out': lockOut,
  'open-guards': openGuards,
  'close-guards': closeGuards,
  unlock,
  start,
  'set-tension': setTension,
  'enable-drive': enableDrive,
  'disable-drive': disableDrive,
  wait,
  // Web and roller.
  'take-web-off': takeWebOff,
  'thread-web': threadWeb,
  'rethread-as-drawn': rethreadAsDrawn,
  'look-at-path': lookAtPath,
  'move-web-guide': moveWebGuide,
  'measure-web-position': measureWebPosition,
  'lift-roller': liftRoller,
  'set-down-roller': setDownRoller,
  // Loads by hand.
  'push-end': pushEnd,
  'let-go': letGo,
  'hang-weight': hangWeight,
  'take-weight-off': takeWeightOff,
  // Fit.
  'measure-arrow': measureArrow,
  'turn-arrow': turnArrow,
  'measure-clearance': measureClearance,
  'set-clearance': setClearance,
  'check-free-play': checkFreePlay,
  'free-cell': freeCell,
  'tighten-clamps': tightenClamps,
  'look-at-fit': lookAtFit,
  'mend-end': mendEnd,
  'measure-level': measureLevel,
  'level-roller': levelRoller,
  'spin-down': spinDown,
  'clean-bearing': cleanBearing,
  'measure-runout': measureRunout,
  'balance-roller': balanceRoller,
  'replace-cell': replaceCell,
  // Cables and amplifier.
  'measure-bridge': measureBridge,
  'measure-insulation': measureInsulation,
  'measure-excitation': measureExcitation,
  'connect-simulator': connectSimulator,
  'connect-shunt': connectShunt,
  'disconnect-instruments': disconnectInstruments,
  'wiggle-cable': wiggleCable,
  'swap-cables': swapCables,
  'swap-leads': swapLeads,
  'look-at-wiring': lookAtWiring,
  'dry-connector': dryConnector,
  'replace-cable': replaceCable,
  'replace-channel': replaceChannel,
  'turn-knob': turnKnob,
  'read-knobs': readKnobs,
  'look-at-counters': lookAtCounters,
} satisfies Record<string, Act>
export type ActId = keyof typeof ACTS

export function isActId(id: string): id is ActId {
  return Object.hasOwn(ACTS, id)
}
