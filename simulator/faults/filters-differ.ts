import { times } from './change.ts'
import type { Fault } from './fault.ts'
import { BY_HANDS } from './onset-lists.ts'
import { inCell, sideOf } from './places.ts'

/** This side is slower by this ratio. */
export const filtersDiffer: Fault = {
  id: 'filters-differ',
  title: 'Filters differ',
  sides: 'one',
  severity: { unit: 'times the rise', least: 1.15, typical: 5, most: 30 },
  onsets: BY_HANDS,
  remedies: ['turn-knob', 'replace-channel'],
  changes(place, severity) {
    const side = sideOf(place)
    return [times(inCell(side, 'filterHz'), 1 / severity)]
  },
}
