import { add, type Cause, zone } from '../cause.ts'
import { sizes } from '../severity-grid.ts'

export const idlerSlipping: Cause = {
  id: 'idler-slipping',
  title: 'The web slides over the roller',
  words: 'The roller turns slower than the web runs: air film, drag or too little wrap.',
  source: 'turn rate against v/(πD); air film after Knox & Sweeney',
  prior: 0.018,
  severity: sizes('slip', '%', 0.3, 95),
  predict: (percent) => [zone('turn-ratio', add(-percent / 100, percent / 1000))],
  remedy:
    'More wrap or tension, a rougher or grooved roller, a bearing that turns freely; as roller maker and site say.',
}
