import { add } from './change.ts'
import type { Fault } from './fault.ts'
import { ANY_WAY } from './onset-lists.ts'
import { BOTH, cellOf, inCell, signalShare } from './places.ts'

/** Noise bandwidth of a second-order Butterworth low-pass over its corner: π/(2√2). */
const BANDWIDTH = Math.PI / (2 * Math.SQRT2)

/** Standard deviation behind the filter while drives are enabled. */
export const driveInterference: Fault = {
  id: 'drive-interference',
  title: 'Drive interference',
  sides: 'both',
  severity: { unit: '% of span', least: 0.03, typical: 0.5, most: 20 },
  onsets: ANY_WAY,
  remedies: ['replace-cable'],
  changes: (place, severity) =>
    BOTH.map((side) => {
      const cell = cellOf(place, side)
      return add(inCell(side, 'drivePickup'), signalShare(cell, severity) / Math.sqrt(BANDWIDTH * cell.filterHz))
    }),
}
