import { z } from 'zod'
import { act, done } from '../act.ts'

/** Drives isolated, lock on, start tried: the web goes slack. Then the guards may be opened. */
export const lockOut = act({
  id: 'lock-out',
  title: 'Lock out and open the guards',
  seconds: 180,
  caution: 'Isolate, lock, try to start. Your lock, your key; the site’s procedure decides.',
  needs: { power: ['stopped', 'locked out'] },
  args: z.strictObject({}),
  run(bench) {
    bench.command({ speed: 0, driveEnabled: false, slack: true })
    bench.locks.lockedOut = true
    bench.locks.guards = 'open'
    return done('Locked out; a try to start did nothing. The web is slack, the guards are open.')
  },
})
