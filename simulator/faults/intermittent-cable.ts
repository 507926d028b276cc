import { BREAK_S } from '../physics/contact.ts'
import { add, set } from './change.ts'
import type { Fault } from './fault.ts'
import { ANY_WAY } from './onset-lists.ts'
import { inCell, inEnd, sideOf } from './places.ts'

/** A share of time open is breaks a second times their mean length. */
export const intermittentCable: Fault = {
  id: 'intermittent-cable',
  title: 'Intermittent cable',
  sides: 'one',
  severity: { unit: 'spikes in 1000 samples', least: 0.1, typical: 5, most: 200 },
  onsets: ANY_WAY,
  remedies: ['replace-cable'],
  changes(place, severity) {
    const side = sideOf(place)
    return [add(inCell(side, 'breaks'), severity / 1000 / BREAK_S), set(inEnd(side, 'cableSeated'), false)]
  },
}
