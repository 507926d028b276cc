import { add } from './change.ts'
import type { Fault } from './fault.ts'
import { BY_HANDS } from './onset-lists.ts'
import { BOTH, cellOf, inCell, leanDownstream } from './places.ts'

/** Positive leans downstream. */
export const bothArrowsOff: Fault = {
  id: 'both-arrows-off',
  title: 'Both arrows off the bisector by one angle',
  sides: 'both',
  severity: { unit: '°', least: 1, typical: 10, most: 45, eitherWay: true },
  onsets: BY_HANDS,
  remedies: ['turn-arrow'],
  changes: (place, severity) =>
    BOTH.map((side) => add(inCell(side, 'arrow'), leanDownstream(cellOf(place, side).arrow, severity))),
}
