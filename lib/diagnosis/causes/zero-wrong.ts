import type { Cause } from '../cause.ts'
import { commonOffset } from '../mechanics.ts'
import { sizesEitherWay } from '../severity-grid.ts'

export const zeroWrong: Cause = {
  id: 'zero-wrong',
  title: 'Zero not taken, or taken with the web on',
  words: 'The zero in force is not that of the bare roller: a constant part in newtons whatever the tension.',
  source: 'line of measured over expected force, its part at nothing',
  prior: 0.045,
  severity: sizesEitherWay('constant part', '% of span', 0.5, 150),
  predict: (percent, seat) => commonOffset(seat, percent, Math.abs(percent) * 0.25),
  remedy: 'Stop, take the web off or slacken it, and zero with the bare roller.',
}
