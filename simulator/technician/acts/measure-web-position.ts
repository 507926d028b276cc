import { z } from 'zod'
import { act } from '../act.ts'
import { INSTRUMENTS, measured, spoken } from '../measure.ts'

export const measureWebPosition = act({
  id: 'measure-web-position',
  title: 'Measure where the web runs across the roller',
  seconds: 90,
  caution: 'Stopped; while it runs, read the edge from the guide’s scale outside the guards.',
  needs: { web: ['tight', 'slack'] },
  args: z.strictObject({}),
  run(bench) {
    const centre = bench.state.webCentre * 1000
    const reading = measured('web-offset', centre, INSTRUMENTS.tapeMeasure, bench.random)
    const words = `The web’s centre lies ${spoken(reading)} from mid-span, positive towards the operator side.`
    return { words, readings: [reading] }
  },
})
