import { add, type Cause, spread, zone } from '../cause.ts'
import { sizes } from '../severity-grid.ts'

/** What drags at speed and not when slow, as a share of the tension, % (common practice). */
const DRAG_PERCENT = 2

export const idlerSlipping: Cause = {
  id: 'idler-slipping',
  title: 'The web slides over the roller',
  words: 'The roller turns slower than the web runs: air film, drag or too little wrap.',
  source: 'turn rate against v/(πD); air film after Knox & Sweeney',
  prior: 0.018,
  severity: sizes('slip', '%', 0.3, 95),
  predict: (percent, { context: { momentumPercent } }) => [
    zone('turn-ratio', add(-percent / 100, percent / 1000)),
    // Drag that grows with speed is read beside the momentum, which also does.
    ...(momentumPercent ? [zone('speed-effect', spread((100 * DRAG_PERCENT) / momentumPercent))] : []),
  ],
  remedy:
    'More wrap or tension, a rougher or grooved roller, a bearing that turns freely; as roller maker and site say.',
}
