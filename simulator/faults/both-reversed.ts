import { add, negate } from './change.ts'
import type { Fault } from './fault.ts'
import { BY_HANDS } from './onset-lists.ts'
import { BOTH, inCell } from './places.ts'

export const bothReversed: Fault = {
  id: 'both-reversed',
  title: 'Both cells reversed',
  sides: 'both',
  severity: { unit: '1 by wire, 2 by arrow', least: 1, typical: 1, most: 2 },
  onsets: BY_HANDS,
  remedies: ['swap-leads', 'replace-cable', 'turn-arrow'],
  changes: (_, severity) =>
    BOTH.map((side) => (severity < 1.5 ? negate(inCell(side, 'polarity')) : add(inCell(side, 'arrow'), Math.PI))),
}
