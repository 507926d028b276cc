import { set } from './change.ts'
import type { Fault } from './fault.ts'
import { BY_HANDS } from './onset-lists.ts'

/** Round the other side of a neighbour: a stripe of web that is threaded wrongly. */
export const otherPath: Fault = {
  id: 'other-path',
  title: 'Web on another path',
  sides: 'none',
  severity: { unit: '1 after, 2 before, 3 both', least: 1, typical: 1, most: 3 },
  onsets: BY_HANDS,
  remedies: ['rethread-as-drawn'],
  changes: ({ zone }, severity) => {
    const other = (name: 'before' | 'after') => set(`path.${name}.turns`, zone.path[name].turns === 'cw' ? 'ccw' : 'cw')
    const kind = Math.round(severity)
    return kind === 3 ? [other('before'), other('after')] : [other(kind === 2 ? 'before' : 'after')]
  },
}
