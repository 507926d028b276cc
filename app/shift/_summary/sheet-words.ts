import type { StoredEvent } from '../../../shared/schemas/events.ts'
import type { Period } from '../../../shared/schemas/shift.ts'
import { formatDuration } from '../../_ui/format.ts'

const PERIOD_WORDS: Record<Period['state'], string> = {
  steady: 'steady',
  assumed: 'steady by its signals',
  moving: 'moving',
  stopped: 'stopped',
  slack: 'slack',
  unknown: 'without good samples',
  missing: 'not recorded',
}

/** How long a zone was what: `steady 6 h 40 min, stopped 12 min`. */
export function periodsInWords(minutes: Partial<Record<Period['state'], number>>): string {
  const parts = Object.entries(PERIOD_WORDS).flatMap(([state, words]) => {
    const count = minutes[state as Period['state']] ?? 0
    return count === 0 ? [] : [`${words} ${formatDuration(count * 60)}`]
  })
  return parts.length === 0 ? 'not known' : parts.join(', ')
}

/** The first of a list, and how many are left out. One more line takes no more room than saying that it is missing. */
export function limited<T>(items: readonly T[], most: number): { readonly shown: readonly T[]; readonly more: number } {
  if (items.length <= most + 1) return { shown: items, more: 0 }
  return { shown: items.slice(0, most), more: items.length - most }
}

const MOST_LETTERS = 180

/** A text cut to what a sheet has room for, at a space where there is one. */
export function clipped(text: string): string {
  const line = text.replace(/\s+/g, ' ').trim()
  if (line.length <= MOST_LETTERS) return line
  const cut = line.slice(0, MOST_LETTERS)
  return `${cut.slice(0, Math.max(cut.lastIndexOf(' '), MOST_LETTERS / 2))}…`
}

/** Transitions of alarms apart from those that only say that data stopped or are back: of these there are many, and one cause. */
export function alarmsOnPaper(alarms: readonly StoredEvent[]): {
  readonly told: readonly StoredEvent[]
  readonly ofData: number
} {
  const told = alarms.filter(({ data }) => !OF_DATA.has(kindOf(data.event)))
  return { told, ofData: alarms.length - told.length }
}

const OF_DATA: ReadonlySet<unknown> = new Set(['lost', 'resumed'])

const kindOf = (event: unknown): unknown =>
  typeof event === 'object' && event !== null && 'kind' in event ? event.kind : null
