import { add, set } from './change.ts'
import type { Fault } from './fault.ts'
import { ANY_WAY } from './onset-lists.ts'
import { cellOf, forceShare, inEnd, sideOf } from './places.ts'

export const looseClamp: Fault = {
  id: 'loose-clamp',
  title: 'Loose clamp or bolt',
  sides: 'one',
  severity: { unit: '% of span', least: 0.2, typical: 2, most: 20 },
  onsets: ANY_WAY,
  remedies: ['tighten-clamps', 'replace-cell'],
  changes(place, severity) {
    const side = sideOf(place)
    const cell = cellOf(place, side)
    return [
      add(inEnd(side, 'looseness'), forceShare(cell, severity)),
      set(inEnd(side, 'boltsTight'), false),
      set(inEnd(side, 'clampsCrosswise'), false),
    ]
  },
}
