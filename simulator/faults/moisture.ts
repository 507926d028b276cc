import { set, times } from './change.ts'
import type { Fault } from './fault.ts'
import { ANY_WAY } from './onset-lists.ts'
import { cellOf, inCell, inEnd, sideOf, signalShare } from './places.ts'

/** The leak R/(4 R_i) that moves the zero by this much (1 σ), wandering; see `leakOf`. */
export const moisture: Fault = {
  id: 'moisture',
  title: 'Moisture in a connector',
  sides: 'one',
  severity: { unit: '% of span', least: 0.1, typical: 2, most: 20 },
  onsets: ANY_WAY,
  remedies: ['dry-connector', 'replace-cell'],
  changes(place, severity) {
    const side = sideOf(place)
    const cell = cellOf(place, side)
    return [
      times(
        inCell(side, 'insulation'),
        (1000 * cell.outputResistance) / (4 * signalShare(cell, severity)) / cell.insulation,
      ),
      set(inEnd(side, 'connectorDry'), false),
    ]
  },
}
