import { times } from './change.ts'
import type { Fault } from './fault.ts'
import { BY_HANDS } from './onset-lists.ts'
import { BOTH, inCell } from './places.ts'

export const spanWrong: Fault = {
  id: 'span-wrong',
  title: 'Span wrong on both channels',
  sides: 'both',
  severity: { unit: '%', least: 1, typical: 10, most: 80, eitherWay: true },
  onsets: BY_HANDS,
  remedies: ['turn-knob', 'replace-channel'],
  changes: (_, severity) => BOTH.map((side) => times(inCell(side, 'knobGain'), 1 + severity / 100)),
}
