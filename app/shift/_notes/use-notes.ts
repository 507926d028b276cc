import { useCallback, useEffect, useRef, useState, useSyncExternalStore } from 'react'
import { storedEvent } from '../../../shared/schemas/events.ts'
import { askGateway } from '../../_ui/ask.ts'
import { newKey } from '../../_ui/new-key.ts'
import { keepSending, mayPass } from '../../_ui/waiting-list.ts'
import { noteBox, type WaitingNote } from './note-box.ts'

/** A note that did not reach the gateway is sent again this often. */
const AGAIN_MS = 5000

const NONE: readonly WaitingNote[] = []

export interface Notes {
  /** Of this zone, not recorded yet. */
  readonly waiting: readonly WaitingNote[]
  /** False once this browser was found to keep nothing. */
  readonly isKept: boolean
  write(timeMs: number, who: string, text: string): void
  drop(key: string): void
}

/** Notes of a zone on their way to the gateway. `onRecorded` is called after each that it made durable. */
export function useNotes(zone: string, owner: string, onRecorded: () => void): Notes {
  const all = useSyncExternalStore(noteBox.subscribe, noteBox.get, () => NONE)
  const [isKept, setKept] = useState(true)
  const recorded = useRef(onRecorded)
  useEffect(() => {
    recorded.current = onRecorded
  }, [onRecorded])

  useEffect(
    () =>
      keepSending(noteBox, AGAIN_MS, async (note) => {
        if (note.owner === owner && (await sendNote(note))) recorded.current()
      }),
    [owner],
  )

  const write = useCallback(
    (timeMs: number, who: string, text: string) => {
      const note = { key: newKey(), zone, owner, timeMs: Math.round(timeMs), who, text, refused: null }
      setKept(noteBox.keep(note))
    },
    [zone, owner],
  )
  return {
    waiting: all.filter((note) => note.zone === zone && note.owner === owner),
    isKept,
    write,
    drop: noteBox.drop,
  }
}

/** True when the gateway has it. What it refuses for good is kept with the reason; what it could not be told waits. */
async function sendNote({ key, zone, timeMs, who, text }: WaitingNote): Promise<boolean> {
  const answer = await askGateway(`/api/zones/${encodeURIComponent(zone)}/notes`, storedEvent, {
    method: 'POST',
    body: { key, timeMs, who, text },
  })
  if (answer.ok) {
    noteBox.drop(key)
    return true
  }
  const { code, message, remedy } = answer.failure
  if (!mayPass(code)) noteBox.refuse(key, `${message} ${remedy}`)
  return false
}
