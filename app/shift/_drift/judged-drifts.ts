import type { Side } from '../../../shared/sample.ts'
import type { Drift, DriftQuantity } from '../../../shared/schemas/shift.ts'
import type { Judged } from '../../_ui/live/judged.ts'
import { ofSide } from '../../_ui/sides.ts'

const WORDS: Record<DriftQuantity, { readonly title: string; readonly meaning: string; readonly side: Side | null }> = {
  agreement: {
    title: 'Drift of the agreement',
    meaning: 'Change of measured less expected, % of expected an hour',
    side: null,
  },
  side_difference: {
    title: 'Drift of the side difference',
    meaning: 'Change of the side difference, points an hour',
    side: null,
  },
  span: { title: 'Drift of the span', meaning: 'Change of measured over expected alone, an hour', side: null },
  zero_drive_side: zero('drive_side'),
  zero_operator_side: zero('operator_side'),
  zero_single: zero('single'),
}

function zero(side: Side) {
  return { title: `Drift of zero${ofSide(side)}`, meaning: 'Change of what is read with a slack web, an hour', side }
}

/** A drift as a row that is judged like those on Live. */
export function judgedDrift({ quantity, rate }: Drift): Judged {
  return { ...WORDS[quantity], key: `drift-${quantity}`, isOneSided: false, figure: rate }
}

/** What a quantity is called where it stands in a sentence. */
export const QUANTITY_WORDS: Record<DriftQuantity, string> = {
  agreement: 'agreement',
  side_difference: 'side difference',
  span: 'span',
  zero_drive_side: 'zero of the drive side',
  zero_operator_side: 'zero of the operator side',
  zero_single: 'zero',
}
