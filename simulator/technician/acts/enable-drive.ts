import { z } from 'zod'
import { act, done } from '../act.ts'

/** Drives powered at standstill: a threaded web is pulled tight, without web it is the noise that shows. */
export const enableDrive = act({
  id: 'enable-drive',
  title: 'Enable the drives at standstill',
  seconds: 20,
  caution: 'Guards closed, hands away: enabled drives can turn.',
  needs: { power: ['stopped'], guards: 'closed', roller: 'on the cells', free: true },
  args: z.strictObject({}),
  run(bench) {
    bench.command({ speed: 0, driveEnabled: true, slack: false })
    return done(
      bench.hands.webOff ? 'The drives are enabled, without web.' : 'The drives are enabled, the web is under tension.',
    )
  },
})
