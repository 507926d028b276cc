import { add } from './change.ts'
import type { Fault } from './fault.ts'
import { BY_HANDS } from './onset-lists.ts'
import { cellOf, inCell, leanDownstream, sideOf } from './places.ts'

/** Positive leans downstream. */
export const arrowsDiffer: Fault = {
  id: 'arrows-differ',
  title: 'One arrow off the bisector',
  sides: 'one',
  severity: { unit: '°', least: 1, typical: 8, most: 60, eitherWay: true },
  onsets: BY_HANDS,
  remedies: ['turn-arrow'],
  changes(place, severity) {
    const side = sideOf(place)
    return [add(inCell(side, 'arrow'), leanDownstream(cellOf(place, side).arrow, severity))]
  },
}
