import { useCallback, useEffect, useMemo, useRef, useState, useSyncExternalStore } from 'react'
import {
  entryList,
  type NewEntry,
  type RecordEntry,
  recordEntry,
  type VerificationRecord,
  verificationRecord,
} from '../../../shared/schemas/verification.ts'
import { askGateway } from '../../_ui/ask.ts'
import { keepSending, mayPass } from '../../_ui/waiting-list.ts'
import { entryBox, type WaitingEntry } from './entry-box.ts'

/** What others add is asked for this often. */
const LOOK_MS = 3000
const NONE: readonly WaitingEntry[] = []

export interface RecordState {
  /** Null before the first answer. */
  readonly record: VerificationRecord | null
  /** Why there is none, or why it is not followed just now. */
  readonly failure: string | null
  /** Of this browser, not in the record yet. */
  readonly waiting: readonly WaitingEntry[]
  /** False while what waits would not outlive this page. */
  readonly isStored: boolean
  add(entry: NewEntry): void
  resend(key: string): void
  drop(key: string): void
}

/** A record that is followed, with what this browser adds to it. */
export function useRecord(id: string): RecordState {
  const [record, setRecord] = useState<VerificationRecord | null>(null)
  const [failure, setFailure] = useState<string | null>(null)
  const newest = useRef<VerificationRecord | null>(null)
  const all = useSyncExternalStore(entryBox.subscribe, entryBox.get, () => NONE)
  const isStored = useSyncExternalStore(entryBox.subscribe, entryBox.isStored, () => true)

  const take = useCallback((next: VerificationRecord) => {
    newest.current = next
    setRecord(next)
    setFailure(null)
  }, [])
  const look = useCallback(async () => {
    const before = newest.current
    if (before === null) {
      const answer = await askGateway(`/api/verifications/${id}`, verificationRecord)
      if (answer.ok) take(answer.value)
      else setFailure(`${answer.failure.message} ${answer.failure.remedy}`)
      return
    }
    const after = before.entries.length
    const answer = await askGateway(`/api/verifications/${id}/entries?after=${after}`, entryList)
    if (!answer.ok) return setFailure(`${answer.failure.message} ${answer.failure.remedy}`)
    const { entries, digest, signed } = answer.value
    take({ ...before, entries: merged(before.entries, entries), digest, signed })
  }, [id, take])

  useEffect(() => {
    newest.current = null
    setRecord(null)
    void look()
    const timer = setInterval(() => void look(), LOOK_MS)
    return () => clearInterval(timer)
  }, [look])

  useEffect(
    () =>
      keepSending(entryBox, LOOK_MS, async (one) => {
        if (one.record === id && (await sent(one))) await look()
      }),
    [id, look],
  )

  const add = useCallback((entry: NewEntry) => void entryBox.keep({ record: id, entry, refused: null }), [id])
  const waiting = useMemo(() => all.filter((one) => one.record === id), [all, id])
  return { record, failure, waiting, isStored, add, resend: entryBox.resend, drop: entryBox.drop }
}

function merged(before: readonly RecordEntry[], more: readonly RecordEntry[]): RecordEntry[] {
  const known = new Set(before.map(({ seq }) => seq))
  return [...before, ...more.filter(({ seq }) => !known.has(seq))].sort((a, b) => a.seq - b.seq)
}

/** True when the gateway has it. What it refuses for good is kept with the reason. */
async function sent({ record, entry }: WaitingEntry): Promise<boolean> {
  const answer = await askGateway(`/api/verifications/${record}/entries`, recordEntry, { method: 'POST', body: entry })
  if (answer.ok) {
    entryBox.drop(entry.key)
    return true
  }
  const { code, message, remedy } = answer.failure
  if (!mayPass(code)) entryBox.refuse(entry.key, `${message} ${remedy}`)
  return false
}
