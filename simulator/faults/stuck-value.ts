import { set } from './change.ts'
import type { Fault } from './fault.ts'
import { ANY_WAY } from './onset-lists.ts'
import { inCell, sideOf } from './places.ts'

export const stuckValue: Fault = {
  id: 'stuck-value',
  title: 'Converter stands',
  sides: 'one',
  severity: { unit: 'present', least: 1, typical: 1, most: 1 },
  onsets: ANY_WAY,
  remedies: ['replace-channel'],
  changes(place) {
    const side = sideOf(place)
    return [set(inCell(side, 'stuck'), true)]
  },
}
