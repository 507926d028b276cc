import { useCallback, useEffect, useRef, useSyncExternalStore } from 'react'
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
  /** False while what waits would not outlive this page. */
  readonly isStored: boolean
  write(timeMs: number, who: string, text: string): void
  resend(key: string): void
  drop(key: string): void
}

/** Notes of a zone on their way to the gateway. `onRecorded` is called after each that it made durable. */
export function useNotes(zone: string, owner: string, onRecorded: () => void): Notes {
  const all = useSyncExternalStore(noteBox.subscribe, noteBox.get, () => NONE)
  const isStored = useSyncExternalStore(noteBox.subscribe, noteBox.isStored, () => true)
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
      noteBox.keep({ key: newKey(), zone, owner, timeMs: Math.round(timeMs), who, text, refused: null })
    },
    [zone, owner],
  )
  return {
    waiting: all.filter((note) => note.zone === zone && note.owner === owner),
    isStored,
    write,
    resend: noteBox.resend,
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
