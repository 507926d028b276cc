import { soundFit } from '../physics/fit.ts'
import { beside, set } from './change.ts'
import type { Fault } from './fault.ts'
import { BY_HANDS } from './onset-lists.ts'
import { cellOf, forceShare, inEnd, sideOf } from './places.ts'

/** How much warmer than its frame the shaft gets before it touches, K. */
const TOUCHES_AFTER_K = 2

/** Clearance set too small for the shaft’s own warmth; from there on this much for each kelvin, the sides apart. */
export const clearanceClosed: Fault = {
  id: 'clearance-closed',
  title: 'End clearance closed by heat',
  sides: 'one',
  severity: { unit: '% of span/K', least: 0.03, typical: 0.3, most: 5, eitherWay: true },
  onsets: BY_HANDS,
  remedies: ['set-clearance'],
  changes(place, severity) {
    const side = sideOf(place)
    const { cellDistance, fit = soundFit() } = place.zone
    const perKelvin = cellDistance * fit.growth.shaftExpansion
    const crossTalk = forceShare(cellOf(place, side), severity) / (perKelvin * fit.growth.stiffness)
    return [
      set(inEnd(side, 'clearance'), TOUCHES_AFTER_K * perKelvin),
      beside(set('fit.growth.floating', side)),
      beside(set('fit.growth.crossTalk', crossTalk)),
    ]
  },
}
