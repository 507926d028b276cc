import { z } from 'zod'
import { act } from '../act.ts'
import { AT_THE_ROLLER } from '../arguments.ts'
import { INSTRUMENTS, measured, spoken } from '../measure.ts'

export const measureLevel = act({
  id: 'measure-level',
  title: 'Measure level and parallelism of the roller',
  seconds: 240,
  caution: 'Locked out: the level lies on the roller.',
  needs: { ...AT_THE_ROLLER, roller: 'on the cells', web: ['off', 'slack'] },
  args: z.strictObject({}),
  run(bench) {
    const level = measured('level', bench.fit.level * 1000, INSTRUMENTS.frameLevel, bench.random)
    const parallel = measured('parallel', bench.fit.parallel * 1000, INSTRUMENTS.frameLevel, bench.random)
    const words = `Level ${spoken(level)}; against its neighbour ${spoken(parallel)}.`
    return { words, readings: [level, parallel] }
  },
})
