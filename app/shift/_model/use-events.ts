import { eventList, type StoredEvent } from '../../../shared/schemas/events.ts'
import { askGateway } from '../../_ui/ask.ts'
import type { Span } from './shift-choice.ts'
import { type Asked, useAsked } from './use-asked.ts'

/** As many as can be told apart on an axis and in a list. */
const MOST = 1000

const NONE: readonly StoredEvent[] = []

/** What happened in a stretch to this zone or to the whole gateway, newest first. */
export function useEvents(
  zone: string,
  of: string,
  span: Span,
): readonly [readonly StoredEvent[], Asked<readonly StoredEvent[]>] {
  const asked = useAsked<readonly StoredEvent[]>(of, span, async ({ fromMs, toMs }, signal) => {
    const query = { zone, from: String(Math.round(fromMs)), to: String(Math.round(toMs)), limit: String(MOST) }
    const answer = await askGateway(`/api/events?${new URLSearchParams(query)}`, eventList, { signal })
    return answer.ok ? { ok: true, value: answer.value.events } : answer
  })
  return [asked.value ?? NONE, asked]
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
