import type { Machine } from '../physics/machine.ts'
import type { ZoneParameters } from '../physics/zone.ts'
import type { Needs } from './act.ts'

export type Power = 'running' | 'stopped' | 'locked out'
export type Guards = 'closed' | 'open'
export type WebState = 'tight' | 'slack' | 'off'

/** The state of the machine as a technician sees it. */
export interface Condition {
  readonly power: Power
  readonly guards: Guards
  readonly driveEnabled: boolean
  readonly web: WebState
  readonly roller: 'on the cells' | 'lifted off'
  /** What is still on roller and cables. */
  readonly loads: readonly Load[]
}

/** A push on an end, a weight on its rope, a hand that moves a cable. */
type Load = 'push' | 'weight' | 'hand at a cable'

/** What the physics cannot know: locks and guards. */
export interface Locks {
  lockedOut: boolean
  guards: Guards
}

/** Under this speed the line stands, m/s. */
const STANDS_BELOW = 0.005

/** The state of the machine at one zone. */
export function conditionOf(machine: Machine, zone: ZoneParameters, locks: Locks): Condition {
  const { speed, slack } = machine.command
  const told = machine.manual
  const moves = speed > STANDS_BELOW || (told !== null && told.speed > STANDS_BELOW)
  const { hands } = zone
  return {
    power: locks.lockedOut ? 'locked out' : moves ? 'running' : 'stopped',
    guards: locks.guards,
    driveEnabled: machine.state.driveEnabled && told?.driveEnabled !== false,
    web: hands?.webOff === true ? 'off' : slack ? 'slack' : 'tight',
    roller: hands?.rollerLifted === true ? 'lifted off' : 'on the cells',
    loads: loadsOf(zone),
  }
}

function loadsOf({ hands }: ZoneParameters): Load[] {
  if (hands === undefined) return []
  const loads: Load[] = []
  if (Object.values(hands.push).some(({ x, y }) => x !== 0 || y !== 0)) loads.push('push')
  if (hands.rope !== null) loads.push('weight')
  if (Object.values(hands.cables).some(({ wiggled }) => wiggled)) loads.push('hand at a cable')
  return loads
}

/** Why an act is not done in this state. `unsafe`: somebody could be hurt by it; otherwise it just cannot be done. */
export interface Refusal {
  readonly reason: string
  readonly unsafe: boolean
}

/** The first reason why this state does not allow what is needed; null when it does. */
export function refusalIn(condition: Condition, needs: Needs): Refusal | null {
  return powerRefusal(condition, needs) ?? guardRefusal(condition, needs) ?? stateRefusal(condition, needs)
}

function powerRefusal({ power }: Condition, needs: Needs): Refusal | null {
  if (needs.power === undefined || needs.power.includes(power)) return null
  if (power === 'running') return { reason: 'the machine is running: nobody works at it; stop it first', unsafe: true }
  if (needs.power.includes('locked out') && !needs.power.includes('stopped')) {
    return { reason: 'the machine is stopped but not locked out: it could start; lock it out first', unsafe: true }
  }
  if (power === 'locked out') {
    return { reason: 'the machine is locked out: unlock it first', unsafe: false }
  }
  return { reason: 'the machine is stopped: start it first', unsafe: false }
}

function guardRefusal(condition: Condition, needs: Needs): Refusal | null {
  if (needs.guards !== undefined && condition.guards !== needs.guards) {
    return needs.guards === 'closed'
      ? { reason: 'the guards are open: close them first', unsafe: true }
      : { reason: 'the guards are closed: open them first, with the machine locked out', unsafe: false }
  }
  return null
}

function stateRefusal(condition: Condition, needs: Needs): Refusal | null {
  const no = (reason: string): Refusal => ({ reason, unsafe: false })
  if (needs.driveEnabled !== undefined && condition.driveEnabled !== needs.driveEnabled)
    return no(condition.driveEnabled ? 'the drives are enabled' : 'the drives are not enabled')
  if (needs.web !== undefined && !needs.web.includes(condition.web))
    return no(`the web is ${condition.web}; it has to be ${needs.web.join(' or ')}`)
  if (needs.roller !== undefined && condition.roller !== needs.roller)
    return no(condition.roller === 'on the cells' ? 'the roller is on the cells' : 'the roller is off the cells')
  if (needs.free === true && condition.loads.length > 0) {
    // Starting a line with a weight on it, or with a hand at it, is how people are hurt.
    return {
      reason: `there is still a ${condition.loads.join(' and a ')} on the roller: take it off first`,
      unsafe: true,
    }
  }
  return null
}
