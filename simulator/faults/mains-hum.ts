import { add } from './change.ts'
import type { Fault } from './fault.ts'
import { ANY_WAY } from './onset-lists.ts'
import { BOTH, cellOf, inCell, signalShare } from './places.ts'

/** Amplitude behind the filter; before it, larger by √(1 + (f/f_c)⁴) (Butterworth, second order). */
export const mainsHum: Fault = {
  id: 'mains-hum',
  title: 'Mains hum',
  sides: 'both',
  severity: { unit: '% of span', least: 0.03, typical: 0.5, most: 20 },
  onsets: ANY_WAY,
  remedies: ['replace-cable'],
  changes: (place, severity) =>
    BOTH.map((side) => {
      const cell = cellOf(place, side)
      const passed = Math.sqrt(1 + (place.mainsHz / cell.filterHz) ** 4)
      return add(inCell(side, 'mainsPickup'), signalShare(cell, severity) * passed)
    }),
}
