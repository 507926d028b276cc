import { times } from './change.ts'
import type { Fault } from './fault.ts'
import { ANY_WAY } from './onset-lists.ts'
import { inCell, sideOf } from './places.ts'

export const gainOneSide: Fault = {
  id: 'gain-one-side',
  title: 'Gain wrong on one side',
  sides: 'one',
  severity: { unit: '%', least: 0.5, typical: 5, most: 60, eitherWay: true },
  onsets: ANY_WAY,
  remedies: ['replace-cell'],
  changes(place, severity) {
    const side = sideOf(place)
    return [times(inCell(side, 'gain'), 1 + severity / 100)]
  },
}
