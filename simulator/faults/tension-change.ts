import { times } from './change.ts'
import type { Fault } from './fault.ts'
import { ANY_WAY } from './onset-lists.ts'

/** The drive’s own feedback is wrong: it holds another tension than it was told. */
export const tensionChange: Fault = {
  id: 'tension-change',
  title: 'The web pulls otherwise than told',
  sides: 'none',
  severity: { unit: '%', least: 2, typical: 15, most: 80, eitherWay: true },
  onsets: ANY_WAY,
  remedies: [],
  changes: (_, severity) => [times('drive.holds', 1 + severity / 100)],
}
