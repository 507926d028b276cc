import { negate } from './change.ts'
import type { Fault } from './fault.ts'
import { BY_HANDS } from './onset-lists.ts'
import { inCell, sideOf } from './places.ts'

export const polarityReversed: Fault = {
  id: 'polarity-reversed',
  title: 'Signal leads of one cell exchanged',
  sides: 'one',
  severity: { unit: 'present', least: 1, typical: 1, most: 1 },
  onsets: BY_HANDS,
  remedies: ['swap-leads', 'replace-cable'],
  changes(place) {
    const side = sideOf(place)
    return [negate(inCell(side, 'polarity'))]
  },
}
