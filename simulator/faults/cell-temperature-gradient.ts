import { add } from './change.ts'
import type { Fault } from './fault.ts'
import { BY_HANDS } from './onset-lists.ts'
import { cellOf, inCell, sideOf, signalShare } from './places.ts'

/** Gauges at unequal temperatures: a zero that decays at thermal balance. */
export const cellTemperatureGradient: Fault = {
  id: 'cell-temperature-gradient',
  title: 'One cell unevenly warm',
  sides: 'one',
  severity: { unit: '% of span', least: 0.2, typical: 2, most: 10, eitherWay: true },
  onsets: BY_HANDS,
  course: 'decaying',
  remedies: ['wait', 'replace-cell'],
  changes(place, severity) {
    const side = sideOf(place)
    const cell = cellOf(place, side)
    return [add(inCell(side, 'zeroBalance'), signalShare(cell, severity))]
  },
}
