import { set } from './change.ts'
import type { Fault } from './fault.ts'
import { BY_HANDS } from './onset-lists.ts'

/** The web that runs is not the one that was told: what is taken off for its momentum is wrong by this share. */
export const momentumLeftOut: Fault = {
  id: 'momentum-left-out',
  title: 'Another basis weight than told: m v² taken off wrongly',
  sides: 'none',
  severity: { unit: '% of m v²', least: 12, typical: 50, most: 100, eitherWay: true },
  onsets: BY_HANDS,
  // What was told is wrong and not the machine: it is mended where it was told.
  remedies: [],
  changes: ({ zone }, severity) => [set('web.basisWeight', zone.web.basisWeight * (1 + severity / 100))],
}
