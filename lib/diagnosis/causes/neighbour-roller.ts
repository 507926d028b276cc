import { all, amplitude, type Cause } from '../cause.ts'
import { sizes } from '../severity-grid.ts'

export const neighbourRoller: Cause = {
  id: 'neighbour-roller',
  title: 'A neighbour’s turn shows in the web',
  words: 'A line at the turn rate of another roller: its runout or unbalance reaches the web, not the cells.',
  source: 'turn rate v/(πD) of the neighbour’s diameter',
  prior: 0.025,
  severity: sizes('amplitude', '% of the side’s force', 0.3, 100),
  predict: (percent) => [
    all('neighbour-line', amplitude(percent, 1.6)),
    all('noise', amplitude(percent / Math.SQRT2, 1.8)),
  ],
  remedy: 'Look at that roller’s runout, balance and bearing, locked out; the measuring roller is not to blame.',
}
