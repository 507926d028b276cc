'use client'

import { useEffect, useRef, useState } from 'react'
import type { VerdictState, ZoneNow } from '../../../shared/schemas/now.ts'
import type { ZoneInfo } from '../../../shared/schemas/zones.ts'
import { VERDICT_WORDS } from '../verdict-words.ts'
import { judgedOf } from './judged.ts'

/** A reader who listens is told of changes at most this often; the newest of a row wins. */
const QUIET_MS = 5000

/** Says changed verdicts aloud, and nothing else: figures change four times a second. */
export function VerdictAnnouncer({ zone, fresh }: { readonly zone: ZoneInfo; readonly fresh: ZoneNow | null }) {
  const [text, setText] = useState('')
  const said = useRef(new Map<string, VerdictState>())
  const pending = useRef(new Map<string, string>())
  const lastSaid = useRef(Number.NEGATIVE_INFINITY)
  useEffect(() => {
    if (fresh === null) return
    for (const { key, title, figure } of judgedOf(zone, fresh)) {
      if (figure === null) continue
      const before = said.current.get(key)
      said.current.set(key, figure.verdict.state)
      if (before === undefined || before === figure.verdict.state) continue
      pending.current.set(key, `${title}: ${VERDICT_WORDS[figure.verdict.state]}.`)
    }
    if (pending.current.size === 0 || performance.now() - lastSaid.current < QUIET_MS) return
    lastSaid.current = performance.now()
    setText([...pending.current.values()].join(' '))
    pending.current.clear()
  }, [zone, fresh])
  return (
    <p className="heard-only" aria-live="polite" data-testid="announcer">
      {text}
    </p>
  )
}
