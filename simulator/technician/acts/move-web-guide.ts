import { z } from 'zod'
import { act, done } from '../act.ts'

export const moveWebGuide = act({
  id: 'move-web-guide',
  title: 'Move the web guide sideways',
  seconds: 60,
  caution: 'From the guide’s own controls, not by hand at the web.',
  needs: { web: ['tight', 'slack'] },
  args: z.strictObject({ towards_operator_mm: z.number().min(-200).max(200) }),
  run(bench, { towards_operator_mm }) {
    bench.parameters.web.offset += towards_operator_mm / 1000
    const way = towards_operator_mm < 0 ? 'drive' : 'operator'
    return done(`The web runs ${Math.abs(towards_operator_mm)} mm further towards the ${way} side.`)
  },
})
