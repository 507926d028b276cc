import { times } from './change.ts'
import type { Fault } from './fault.ts'
import { BY_HANDS } from './onset-lists.ts'
import { BOTH, cellOf, inCell } from './places.ts'

/** Rise from 10 to 90 % of a second-order Butterworth low-pass times its corner (2.15/ω₀, computed). */
const RISE = 0.342

export const filterTooHeavy: Fault = {
  id: 'filter-too-heavy',
  title: 'Filter too heavy',
  sides: 'both',
  severity: { unit: 's of rise', least: 1.5, typical: 5, most: 100 },
  onsets: BY_HANDS,
  remedies: ['turn-knob', 'replace-channel'],
  changes: (place, severity) =>
    BOTH.map((side) => times(inCell(side, 'filterHz'), Math.min(1, RISE / severity / cellOf(place, side).filterHz))),
}
