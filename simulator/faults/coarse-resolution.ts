import { add } from './change.ts'
import type { Fault } from './fault.ts'
import { BY_HANDS } from './onset-lists.ts'
import { BOTH, cellOf, inCell, signalShare } from './places.ts'

export const coarseResolution: Fault = {
  id: 'coarse-resolution',
  title: 'Resolution too coarse',
  sides: 'both',
  severity: { unit: '% of span', least: 0.1, typical: 2, most: 20 },
  onsets: BY_HANDS,
  remedies: ['replace-channel'],
  changes: (place, severity) =>
    BOTH.map((side) => add(inCell(side, 'adcStep'), signalShare(cellOf(place, side), severity))),
}
