import { times } from './change.ts'
import type { Fault } from './fault.ts'
import { ANY_WAY } from './onset-lists.ts'
import { inCell, sideOf } from './places.ts'

export const channelFault: Fault = {
  id: 'channel-fault',
  title: 'Fault of an amplifier channel',
  sides: 'one',
  severity: { unit: '%', least: 1, typical: 10, most: 60, eitherWay: true },
  onsets: ANY_WAY,
  remedies: ['replace-channel'],
  changes(place, severity) {
    const side = sideOf(place)
    return [times(inCell(side, 'channelGain'), 1 + severity / 100)]
  },
}
