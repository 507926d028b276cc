import { EVENT_KINDS, type EventKind } from '../../shared/schemas/events.ts'

/** What of the trail is asked for; null leaves a part open. */
export interface TrailFilter {
  readonly kind: EventKind | null
  readonly zone: string | null
  /** As the field gives it, in the reader's own time: 2026-05-04T06:00. */
  readonly from: string | null
  readonly to: string | null
}

/** How many events come at once. */
const PAGE_SIZE = 100

/** A kind of the address's query; null for what is none. */
export const kindIn = (text: string | null): EventKind | null => EVENT_KINDS.find((kind) => kind === text) ?? null

/** Address of the events of a filter, the newest or those before an id. A time that is none leaves its end open. */
export function eventsUrl({ kind, zone, from, to }: TrailFilter, before: number | null = null): string {
  const query = new URLSearchParams({ limit: String(PAGE_SIZE) })
  if (kind !== null) query.set('kind', kind)
  if (zone !== null) query.set('zone', zone)
  const [fromMs, toMs] = [msOf(from), msOf(to)]
  if (fromMs !== null) query.set('from', String(fromMs))
  if (toMs !== null) query.set('to', String(toMs))
  if (before !== null) query.set('before', String(before))
  return `/api/events?${query}`
}

/** Why a filter cannot find anything; null when it may. */
export function filterFault({ from, to }: TrailFilter): string | null {
  const [fromMs, toMs] = [msOf(from), msOf(to)]
  return fromMs !== null && toMs !== null && fromMs >= toMs ? 'The end lies before the beginning.' : null
}

function msOf(local: string | null): number | null {
  const ms = local === null ? Number.NaN : Date.parse(local)
  return ms >= 0 ? ms : null
}
