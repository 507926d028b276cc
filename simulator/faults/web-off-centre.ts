import { add } from './change.ts'
import type { Fault } from './fault.ts'
import { ANY_WAY } from './onset-lists.ts'

/** Side difference (OS − DS)/(OS + DS) is 2 x/L for a pull at x; positive towards the operator side. */
export const webOffCentre: Fault = {
  id: 'web-off-centre',
  title: 'Web off centre',
  sides: 'none',
  severity: { unit: '% side difference', least: 2, typical: 15, most: 70, eitherWay: true },
  onsets: ANY_WAY,
  remedies: ['move-web-guide'],
  changes: ({ zone }, severity) => [add('web.offset', (severity / 100) * (zone.cellDistance / 2))],
}
