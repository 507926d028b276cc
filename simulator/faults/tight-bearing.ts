import { add } from './change.ts'
import type { Fault } from './fault.ts'
import { ANY_WAY } from './onset-lists.ts'

/** What is lost is (T_out − T_in)/T at the working tension. */
export const tightBearing: Fault = {
  id: 'tight-bearing',
  title: 'Tight bearing, dragging seal or hose',
  sides: 'none',
  severity: { unit: '% of tension', least: 0.3, typical: 4, most: 30 },
  onsets: ANY_WAY,
  remedies: ['clean-bearing'],
  changes: ({ tension, zone }, severity) => [
    add('roller.dragTorque', (severity / 100) * tension * zone.path.measuring.radius),
  ],
}
