import type { KeptKind } from '../../../shared/schemas/recorder.ts'
import { formatNumber } from '../../_ui/format.ts'

export const KIND_WORDS: Record<KeptKind, string> = {
  samples: 'Every sample',
  roll_ups: 'Figures of 10 s and longer',
  minutes: 'Minutes of each zone',
  events: 'Trail of events',
  outbox: 'Waiting to be forwarded',
}

const UNITS = ['bytes', 'kB', 'MB', 'GB', 'TB'] as const

/** Bytes in the largest unit that leaves at least 1: `1.2 GB`. */
export function bytesWords(bytes: number): string {
  const power = bytes < 1 ? 0 : Math.min(UNITS.length - 1, Math.floor(Math.log10(bytes) / 3))
  const value = bytes / 1000 ** power
  const digits = power === 0 || value >= 100 ? 0 : 1
  return `${formatNumber(value, digits)} ${UNITS[power]}`
}

/** Days as a person counts them. */
export function daysWords(days: number): string {
  if (days < 730) return days === 1 ? '1 day' : `${Math.round(days)} days`
  return `${Math.round(days / 365)} years`
}
