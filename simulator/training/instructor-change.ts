import type { ActiveFault } from '../faults/active.ts'
import type { Faults } from '../faults/faults.ts'
import type { Machine } from '../physics/machine.ts'
import { NotPossible } from '../technician/not-possible.ts'
import type { Technician } from '../technician/technician.ts'
import type { ReplayedChange } from './closed-exercise.ts'
import { truthWords } from './truth-words.ts'

export interface Changeable {
  readonly machine: Machine
  readonly faults: Faults
  readonly technician: Technician
}

/**
 * Does at a machine what an instructor wants. Throws NotPossible where that would set a machine going at which somebody
 * works, and RangeError for a fault that cannot be there; nothing is changed then.
 */
export function makeChange({ machine, faults, technician }: Changeable, change: ReplayedChange): void {
  switch (change.do) {
    case 'put-in':
      faults.add(change.fault as ActiveFault)
      return
    case 'clear-faults':
      faults.clear()
      return
    case 'programme':
      technician.manual(false)
      return
    case 'speed': {
      refuseWhileWorkedAt(technician, machine)
      const { setTension } = machine.command
      machine.takeOver({ speed: change.speed_m_min / 60, setTension, slack: false, driveEnabled: true })
      return
    }
    case 'tension': {
      const { speed, setTension, slack } = machine.command
      if (!Object.hasOwn(setTension, change.zone)) throw new NotPossible(`there is no zone ${change.zone}`)
      const told = machine.manual ?? { speed, setTension, slack, driveEnabled: !slack }
      machine.takeOver({ ...told, setTension: { ...setTension, [change.zone]: change.tension_n } })
    }
  }
}

function refuseWhileWorkedAt(technician: Technician, machine: Machine): void {
  for (const zone of Object.keys(machine.parameters.zones)) {
    const { power, guards, web, roller, loads } = technician.condition(zone)
    if (power === 'locked out' || guards === 'open' || web === 'off' || roller === 'lifted off' || loads.length > 0)
      throw new NotPossible(`somebody works at zone ${zone}: the line cannot be set going`)
  }
}

export function changeWords(change: ReplayedChange): string {
  switch (change.do) {
    case 'put-in':
      return `Put in: ${truthWords(change.fault as ActiveFault)}`
    case 'clear-faults':
      return 'All faults taken out.'
    case 'programme':
      return 'The line runs by its programme again.'
    case 'speed':
      return `Speed set to ${change.speed_m_min} m/min.`
    case 'tension':
      return `Tension of ${change.zone} set to ${change.tension_n} N.`
  }
}
