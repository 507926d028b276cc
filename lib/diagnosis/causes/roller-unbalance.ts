import { all, amplitude, at, type Cause } from '../cause.ts'
import { sizes } from '../severity-grid.ts'

export const rollerUnbalance: Cause = {
  id: 'roller-unbalance',
  title: 'Unbalance of the roller',
  words: 'The roller’s mass is off its axis: a line once per turn that grows with the square of speed.',
  source: 'centrifugal force m e ω²',
  prior: 0.025,
  severity: sizes('amplitude at the speed measured', '% of the side’s force', 0.3, 100),
  predict: (percent) => [
    all('once-per-turn', amplitude(percent, 1.6)),
    all('speed-exponent', at(2, 0.3)),
    all('noise', amplitude(percent / Math.SQRT2, 1.8)),
  ],
  remedy: 'Have the roller balanced for its speed (ISO 21940-11 names grades); meanwhile run slower.',
}
