import { add } from './change.ts'
import type { Fault } from './fault.ts'
import { ANY_WAY } from './onset-lists.ts'
import { cellOf, inCell, sideOf, signalShare } from './places.ts'

export const thermalZeroDrift: Fault = {
  id: 'thermal-zero-drift',
  title: 'Zero follows temperature',
  sides: 'one',
  severity: { unit: '% of span/K', least: 0.02, typical: 0.2, most: 3, eitherWay: true },
  onsets: ANY_WAY,
  remedies: ['replace-cell'],
  changes(place, severity) {
    const side = sideOf(place)
    const cell = cellOf(place, side)
    return [add(inCell(side, 'zeroPerKelvin'), signalShare(cell, severity))]
  },
}
