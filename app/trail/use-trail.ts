import { useCallback, useEffect, useState } from 'react'
import { type EventList, eventList, type StoredEvent } from '../../shared/schemas/events.ts'
import { type Answer, askGateway, type Failure } from '../_ui/ask.ts'
import { eventsUrl, type TrailFilter } from './trail-filter.ts'

export interface Trail {
  /** null: the first answer has not come. */
  readonly events: readonly StoredEvent[] | null
  readonly failure: Failure | null
  /** There are older ones. */
  readonly hasOlder: boolean
  readonly isBusy: boolean
  readonly older: () => void
  readonly again: () => void
}

interface Held {
  readonly events: readonly StoredEvent[] | null
  readonly olderBefore: number | null
  readonly failure: Failure | null
}

const NOTHING: Held = { events: null, olderBefore: null, failure: null }

/** The events of a filter, newest first; further ones as they are asked for. */
export function useTrail({ kind, zone, from, to }: TrailFilter): Trail {
  const [held, setHeld] = useState<Held>(NOTHING)
  const [isBusy, setBusy] = useState(false)
  const [turn, setTurn] = useState(0)
  // biome-ignore lint/correctness/useExhaustiveDependencies: another turn asks the same again
  useEffect(() => {
    const asking = new AbortController()
    setBusy(true)
    askGateway(eventsUrl({ kind, zone, from, to }), eventList, { signal: asking.signal })
      .then((answer) => {
        setBusy(false)
        setHeld((before) => first(answer, before))
      })
      .catch(() => {}) // aborted: another question is on its way
    return () => asking.abort()
  }, [kind, zone, from, to, turn])
  const { events, olderBefore } = held
  const older = useCallback(async () => {
    if (olderBefore === null) return
    setBusy(true)
    const answer = await askGateway(eventsUrl({ kind, zone, from, to }, olderBefore), eventList)
    setBusy(false)
    setHeld((before) => (before.olderBefore === olderBefore ? further(answer, before) : before))
  }, [kind, zone, from, to, olderBefore])
  return {
    events,
    failure: held.failure,
    hasOlder: olderBefore !== null,
    isBusy,
    older: () => void older(),
    again: () => setTurn((n) => n + 1),
  }
}

/** What was read stays when it cannot be read again; the failure stands beside it. */
const first = (answer: Answer<EventList>, before: Held): Held =>
  answer.ok ? { ...answer.value, failure: null } : { ...before, failure: answer.failure }

function further(answer: Answer<EventList>, before: Held): Held {
  if (!answer.ok) return { ...before, failure: answer.failure }
  const { events, olderBefore } = answer.value
  return { events: [...(before.events ?? []), ...events], olderBefore, failure: null }
}
