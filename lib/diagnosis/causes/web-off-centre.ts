import { add, type Cause, spread, zone } from '../cause.ts'
import { sizesEitherWay } from '../severity-grid.ts'

export const webOffCentre: Cause = {
  id: 'web-off-centre',
  title: 'Web or its pull off centre',
  words: 'The web runs, or pulls, nearer to one end, or has a baggy edge: true, and no fault of the cells.',
  source: 'moments about mid-span, I = 2e/L',
  prior: 0.05,
  pairOnly: true,
  severity: sizesEitherWay('side difference it makes, + operator side', '%', 2, 70),
  predict: (percent) => [
    zone('imbalance-now', add(percent)),
    zone('slope-difference', add(percent, Math.abs(percent) * 0.05)),
    zone('drift-side-difference', spread(percent / 100)),
  ],
  remedy: 'Look at web guide, edge and the rollers before; a centred known weight proves the cells meanwhile.',
}
