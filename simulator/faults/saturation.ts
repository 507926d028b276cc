import { set } from './change.ts'
import type { Fault } from './fault.ts'
import { BY_HANDS } from './onset-lists.ts'
import { BOTH, inCell, workingSignal } from './places.ts'

/** The range ends 10 % above the working signal at the least and 10 % below it at the most, where half is the signal itself. */
export const saturation: Fault = {
  id: 'saturation',
  title: 'Range too small',
  sides: 'both',
  severity: { unit: '% of samples', least: 0.1, typical: 30, most: 100 },
  onsets: BY_HANDS,
  remedies: ['turn-knob', 'replace-channel'],
  changes: (place, severity) =>
    BOTH.flatMap((side) => {
      const end = Math.abs(workingSignal(place, side)) * (1.1 - severity / 500)
      return [set(inCell(side, 'rangeLow'), -end), set(inCell(side, 'rangeHigh'), end)]
    }),
}
