import { add } from './change.ts'
import type { Fault } from './fault.ts'
import { ANY_WAY } from './onset-lists.ts'
import { BOTH, webOnEnd } from './places.ts'

/** m r ω² at the working speed, at each end. */
export const rollerUnbalance: Fault = {
  id: 'roller-unbalance',
  title: 'Roller out of balance',
  sides: 'none',
  severity: { unit: '% of the side’s force', least: 0.3, typical: 5, most: 100 },
  onsets: ANY_WAY,
  remedies: ['balance-roller'],
  changes(place, severity) {
    const rate = place.speed / place.zone.path.measuring.radius
    const massRadius = ((severity / 100) * webOnEnd(place)) / (rate * rate)
    return BOTH.map((side) => add(`roller.unbalance.${side}.massRadius`, massRadius))
  },
}
