import { add } from './change.ts'
import type { Fault } from './fault.ts'
import { ANY_WAY } from './onset-lists.ts'

/** Amplitude of the tension ripple, whatever the speed. */
export const rollerRunout: Fault = {
  id: 'roller-runout',
  title: 'Roller out of round',
  sides: 'none',
  severity: { unit: '% of the side’s force', least: 0.3, typical: 5, most: 100 },
  onsets: ANY_WAY,
  remedies: ['balance-roller'],
  changes: ({ tension }, severity) => [add('roller.runout.amplitude', (severity / 100) * tension)],
}
