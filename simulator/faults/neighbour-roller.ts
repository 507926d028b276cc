import { add, set } from './change.ts'
import type { Fault } from './fault.ts'
import { ANY_WAY } from './onset-lists.ts'

/** The span passes a ripple of ω = 2 v/D on by 1/√(1 + (ω L/v)²), which no speed changes: L/v is its time constant. */
export const neighbourRoller: Fault = {
  id: 'neighbour-roller',
  title: 'A neighbour’s turn in the web',
  sides: 'none',
  severity: { unit: '% of the side’s force', least: 0.3, typical: 5, most: 100 },
  onsets: ANY_WAY,
  remedies: [],
  changes: ({ tension, zone }, severity) => {
    // The neighbour is the roller before the measuring one; what rippled there before is small beside it.
    const diameter = 2 * zone.path.before.radius
    const attenuation = Math.hypot(1, (2 * zone.spanLength) / diameter)
    return [set('upstream.rippleDiameter', diameter), add('upstream.ripple', (severity / 100) * tension * attenuation)]
  },
}
