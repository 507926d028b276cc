import { add, set } from './change.ts'
import type { Fault } from './fault.ts'
import { ANY_WAY } from './onset-lists.ts'
import { cellOf, forceShare, inEnd, sideOf } from './places.ts'

/** A twisted cell lets at most this share of the force pass it by (common practice). */
const MOST_PASSED_BY = 0.5

/** The hysteresis is twice the friction; as large a share of the force passes the cell by. */
export const binding: Fault = {
  id: 'binding',
  title: 'No free play: cell twisted',
  sides: 'one',
  severity: { unit: '% of span', least: 0.3, typical: 3, most: 30 },
  onsets: ANY_WAY,
  remedies: ['free-cell'],
  changes(place, severity) {
    const side = sideOf(place)
    const cell = cellOf(place, side)
    return [
      add(inEnd(side, 'bindFriction'), forceShare(cell, severity) / 2),
      add(inEnd(side, 'bindShare'), Math.min(MOST_PASSED_BY, severity / 100)),
      set(inEnd(side, 'freePlay'), 0),
    ]
  },
}
