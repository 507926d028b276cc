import { qualityOf } from '../../../../shared/quality.ts'
import type { SideNow, ZoneNow } from '../../../../shared/schemas/now.ts'

/** The note A: both sides carry alike. */
export const ALIKE_HZ = 440
/** Two octaves each way: farther it only hurts. */
const MOST_SEMITONES = 24

/** A tone, or why there is none. */
export type Heard = { readonly hz: number; readonly words: string } | { readonly hz: null; readonly words: string }

/** A semitone up for each percent that the operator side carries more, down for each that the drive side does. */
export function pitchOf(percent: number): number {
  const semitones = Math.max(-MOST_SEMITONES, Math.min(MOST_SEMITONES, percent))
  return ALIKE_HZ * 2 ** (semitones / 12)
}

/** Under a half percent nobody hears which side it is. */
const ALIKE_PERCENT = 0.5

/**
 * What to sound for a zone now: the side difference of the newest samples, because a hand at the roller wants to hear
 * itself at once. Silent, with the reason, whenever the side difference is not known: a bad side, a slack web, no picture.
 */
export function heardOf(fresh: ZoneNow | null): Heard {
  if (fresh === null) return { hz: null, words: 'Silent: the gateway’s picture is not here.' }
  if (fresh.imbalance?.value == null)
    return { hz: null, words: `Silent: ${fresh.imbalance?.waiting ?? 'the side difference is not known.'}` }
  const [drive, operator] = ['drive_side', 'operator_side'].map((side) =>
    newest((fresh.sides as Partial<Record<string, SideNow>>)[side]),
  )
  if (drive == null || operator == null || !(drive + operator > 0))
    return { hz: null, words: 'Silent: a side gives no good sample.' }
  const percent = (100 * (operator - drive)) / (operator + drive)
  return { hz: pitchOf(percent), words: wordsOf(percent) }
}

function newest(side: SideNow | undefined): number | null {
  return side !== undefined && qualityOf(side.live.code) === 'good' ? side.live.value : null
}

function wordsOf(percent: number): string {
  if (Math.abs(percent) < ALIKE_PERCENT) return 'Sounding: both sides carry alike.'
  const which = percent > 0 ? 'operator side' : 'drive side'
  const end = Math.abs(percent) > MOST_SEMITONES ? '; beyond the range of the tone' : ''
  return `Sounding: the ${which} carries more${end}.`
}
