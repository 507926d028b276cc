import { times } from './change.ts'
import type { Fault } from './fault.ts'
import { ANY_WAY } from './onset-lists.ts'
import { inCell, sideOf } from './places.ts'

export const spanDrift: Fault = {
  id: 'span-drift',
  title: 'Gain moves with time',
  sides: 'one',
  severity: { unit: '%/h', least: 0.1, typical: 1, most: 20, eitherWay: true },
  onsets: ANY_WAY,
  course: 'per hour',
  remedies: ['replace-cell'],
  changes(place, severity) {
    const side = sideOf(place)
    return [times(inCell(side, 'gain'), 1 + severity / 100)]
  },
}
