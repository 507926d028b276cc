import { useMemo } from 'react'
import { concernsZone } from '../../../lib/summary/concerns-zone.ts'
import { type EventList, eventList, type StoredEvent } from '../../../shared/schemas/events.ts'
import { type Answer, askGateway } from '../../_ui/ask.ts'
import type { Span } from './shift-choice.ts'
import { type Asked, useAsked } from './use-asked.ts'

/** One answer's worth, and as many answers as can be told apart on an axis and in a list. */
const PAGE = 1000
const MOST_PAGES = 5

const NONE: readonly StoredEvent[] = []

/** What happened in a stretch to this zone or to the whole gateway, newest first. */
export function useEvents(
  zone: string,
  of: string,
  span: Span,
): readonly [readonly StoredEvent[], Asked<readonly StoredEvent[]>] {
  const asked = useAsked<readonly StoredEvent[]>(of, span, (asked, signal) => eventsOf(zone, asked, signal))
  return [asked.value ?? NONE, asked]
}

/** Asks for all zones: what concerns the whole gateway has none. */
async function eventsOf(zone: string, span: Span, signal: AbortSignal): Promise<Answer<readonly StoredEvent[]>> {
  const found: StoredEvent[] = []
  let before: number | null = null
  for (let page = 0; page < MOST_PAGES; page++) {
    const query = new URLSearchParams({
      from: String(Math.round(span.fromMs)),
      to: String(Math.round(span.toMs)),
      limit: String(PAGE),
    })
    if (before !== null) query.set('before', String(before))
    const answer: Answer<EventList> = await askGateway(`/api/events?${query}`, eventList, { signal })
    if (!answer.ok) return answer
    found.push(...answer.value.events.filter(concernsZone(zone)))
    before = answer.value.olderBefore
    if (before === null) break
  }
  return { ok: true, value: found }
}

/** The newest transitions of alarms before a stretch: they tell which were active when it began. */
export function useAlarmsBefore(zone: string, of: string, { fromMs }: Span): Asked<readonly StoredEvent[]> {
  const begin = useMemo((): Span => ({ fromMs: 0, toMs: fromMs }), [fromMs])
  return useAsked<readonly StoredEvent[]>(`before ${of}`, begin, async ({ toMs }, signal) => {
    const query = { kind: 'alarm', to: String(Math.round(toMs)), limit: String(PAGE) }
    const answer = await askGateway(`/api/events?${new URLSearchParams(query)}`, eventList, { signal })
    return answer.ok ? { ok: true, value: answer.value.events.filter(concernsZone(zone)) } : answer
  })
}

/** Every baseline that was named for a zone, newest first. */
export function useBaselines(zone: string): Asked<readonly StoredEvent[]> {
  return useAsked<readonly StoredEvent[]>(`baselines ${zone}`, ALWAYS, async (_, signal) => {
    const query = { zone, kind: 'baseline', limit: '20' }
    const answer = await askGateway(`/api/events?${new URLSearchParams(query)}`, eventList, { signal })
    return answer.ok ? { ok: true, value: answer.value.events } : answer
  })
}

const ALWAYS: Span = { fromMs: 0, toMs: 0 }
