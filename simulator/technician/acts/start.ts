import { z } from 'zod'
import { HAND_ACCELERATION } from '../../physics/manual.ts'
import { act, done } from '../act.ts'
import { NotPossible } from '../not-possible.ts'

/** Run at a speed: from standstill, or another speed while running. */
export const start = act({
  id: 'start',
  title: 'Start, or run at another speed',
  seconds: 15,
  caution: 'Guards closed, hands away, warn everybody at the line.',
  needs: {
    power: ['stopped', 'running'],
    guards: 'closed',
    web: ['tight', 'slack'],
    roller: 'on the cells',
    free: true,
  },
  args: z.strictObject({ speed_m_min: z.number().min(0).max(1500) }),
  run(bench, { speed_m_min }) {
    const { zones } = bench.machine.parameters
    const open = Object.entries(zones).find(([, { hands }]) => hands?.webOff === true || hands?.rollerLifted === true)
    if (open !== undefined) throw new NotPossible(`zone ${open[0]}: put the roller down and thread the web first`)
    const change = Math.abs(speed_m_min / 60 - bench.machine.command.speed)
    bench.command({ speed: speed_m_min / 60, slack: false, driveEnabled: true })
    bench.pass(change / HAND_ACCELERATION)
    return done(`The line runs at ${speed_m_min} m/min.`)
  },
})
