import { add } from './change.ts'
import type { Fault } from './fault.ts'
import { BY_HANDS } from './onset-lists.ts'
import { inCell, sideOf } from './places.ts'

export const arrowReversed: Fault = {
  id: 'arrow-reversed',
  title: 'One load arrow points the other way',
  sides: 'one',
  severity: { unit: 'present', least: 1, typical: 1, most: 1 },
  onsets: BY_HANDS,
  remedies: ['turn-arrow'],
  changes(place) {
    const side = sideOf(place)
    return [add(inCell(side, 'arrow'), Math.PI)]
  },
}
