import { qualityOf } from '../../../shared/quality.ts'
import type { Live } from '../../../shared/schemas/now.ts'
import { reasonInWords } from '../../_plots/reason.ts'
import { NBSP } from '../format.ts'
import type { Units } from '../units.tsx'

/** The newest sample of a channel that is not a cell: `240.0 ± 2.4 m/min (± assumed)`; why, where there is no number. */
export function newestInWords(live: Live | null, units: Units): string {
  if (live === null) return 'unknown'
  const quality = qualityOf(live.code)
  if (quality === 'bad' || live.value === null) return `unknown: ${reasonInWords(live.code)}`
  const U = live.U ?? null
  const text =
    U === null
      ? `${units.rough(live.value, live.unit).text}, uncertainty unknown`
      : units.figure(live.value, U, live.unit).text
  const assumed = live.assumed === true ? ` (±${NBSP}assumed)` : ''
  const doubt = quality === 'uncertain' ? `, uncertain: ${reasonInWords(live.code)}` : ''
  return text + assumed + doubt
}
