import { z } from 'zod'
import { act, done } from '../act.ts'
import { AT_THE_ROLLER } from '../arguments.ts'

/** How well a roller is brought to level by shims, m/m (1 σ, common practice). */
const LEVELLED_WITHIN = 3e-5

export const levelRoller = act({
  id: 'level-roller',
  title: 'Level and align the roller',
  seconds: 3600,
  caution: 'Locked out; hold the roller’s weight while its mounts are shimmed.',
  needs: { ...AT_THE_ROLLER, web: ['off'], free: true },
  args: z.strictObject({}),
  run(bench) {
    bench.fit.level = Math.abs(LEVELLED_WITHIN * bench.random.gaussian())
    bench.fit.parallel = Math.abs(LEVELLED_WITHIN * bench.random.gaussian())
    return done('The mounts are shimmed and aligned; measure level and parallelism to know.')
  },
})
