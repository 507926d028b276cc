import { add, beside, times } from './change.ts'
import type { Fault } from './fault.ts'
import { ANY_WAY } from './onset-lists.ts'

/** Share of the tension that stiff grease takes at the working speed; without a drag that grows with speed no slip is steady. */
const LOST = 0.02

/** Friction so low (an air film) that the web carries the roller only up to this much less than its own speed. */
export const idlerSlipping: Fault = {
  id: 'idler-slipping',
  title: 'Web slides over the roller',
  sides: 'none',
  severity: { unit: '%', least: 0.3, typical: 20, most: 95 },
  onsets: ANY_WAY,
  remedies: ['balance-roller'],
  changes({ tension, speed, zone, wrap }, severity) {
    const { radius } = zone.path.measuring
    const lost = LOST * tension * radius
    const carried = zone.roller.dragTorque + lost * (1 - severity / 100)
    const momentum = zone.web.basisWeight * zone.web.width * speed * speed
    const friction = Math.log(1 + carried / ((tension - momentum) * radius)) / wrap
    return [
      times('roller.friction', friction / zone.roller.friction),
      beside(add('roller.viscousDrag', (lost * radius) / speed)),
    ]
  },
}
