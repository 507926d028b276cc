import { z } from 'zod'
import { act, done } from '../act.ts'

export const setTension = act({
  id: 'set-tension',
  title: 'Set the tension',
  seconds: 10,
  caution: null,
  needs: { power: ['stopped', 'running'] },
  args: z.strictObject({ newtons: z.number().min(0).max(20_000) }),
  run(bench, { newtons }) {
    const { setTension: others } = bench.machine.command
    bench.command({ setTension: { ...others, [bench.zone]: newtons } })
    return done(`Set tension ${newtons} N.`)
  },
})
