import { add } from './change.ts'
import type { Fault } from './fault.ts'
import { BY_HANDS } from './onset-lists.ts'
import { cellOf, inCell, sideOf, signalShare } from './places.ts'

export const overloadedCell: Fault = {
  id: 'overloaded-cell',
  title: 'Overloaded cell',
  sides: 'one',
  severity: { unit: '% of span', least: 0.5, typical: 5, most: 150, eitherWay: true },
  onsets: BY_HANDS,
  remedies: ['replace-cell'],
  changes(place, severity) {
    const side = sideOf(place)
    const cell = cellOf(place, side)
    return [add(inCell(side, 'zeroBalance'), signalShare(cell, severity))]
  },
}
