import { set } from './change.ts'
import type { Fault } from './fault.ts'
import { BY_HANDS } from './onset-lists.ts'

export const sidesSwapped: Fault = {
  id: 'sides-swapped',
  title: 'Sides swapped at the amplifier',
  sides: 'none',
  severity: { unit: 'present', least: 1, typical: 1, most: 1 },
  onsets: BY_HANDS,
  remedies: ['swap-cables'],
  changes: ({ zone }) => {
    const now = zone.cables ?? { drive_side: 'drive_side', operator_side: 'operator_side' }
    return [set('cables.drive_side', now.operator_side), set('cables.operator_side', now.drive_side)]
  },
}
