import { add } from './change.ts'
import type { Fault } from './fault.ts'
import { BY_HANDS } from './onset-lists.ts'
import { BOTH, cellOf, inCell, signalShare } from './places.ts'

export const zeroWrong: Fault = {
  id: 'zero-wrong',
  title: 'Zero wrong on both channels',
  sides: 'both',
  severity: { unit: '% of span', least: 0.5, typical: 5, most: 150, eitherWay: true },
  onsets: BY_HANDS,
  remedies: ['turn-knob', 'replace-channel'],
  changes: (place, severity) =>
    BOTH.map((side) => add(inCell(side, 'knobZero'), signalShare(cellOf(place, side), severity))),
}
