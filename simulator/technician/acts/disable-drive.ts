import { z } from 'zod'
import { act, done } from '../act.ts'

export const disableDrive = act({
  id: 'disable-drive',
  title: 'Switch the drives off',
  seconds: 10,
  caution: null,
  needs: { power: ['stopped'] },
  args: z.strictObject({}),
  run(bench) {
    bench.command({ speed: 0, driveEnabled: false, slack: true })
    return done('The drives are off, the web is slack.')
  },
})
