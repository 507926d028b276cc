import type { Change } from '../../../shared/schemas/shift.ts'

export const COMPARED_WORDS: Record<Change['what'], string> = {
  agreement: 'Agreement',
  side_difference: 'Side difference',
  total: 'Total of both sides',
  noise_drive_side: 'Noise, drive side',
  noise_operator_side: 'Noise, operator side',
  noise_single: 'Noise',
  zero_drive_side: 'Zero, drive side',
  zero_operator_side: 'Zero, operator side',
  zero_single: 'Zero',
  speed: 'Web speed',
  reference: 'Set tension',
  temperature: 'Temperature',
}

export const STATE_WORDS: Record<Change['state'], string> = {
  changed: 'changed',
  'not-told-apart': 'within its ±',
  unknown: 'not known',
}
