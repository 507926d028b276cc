import { useCallback, useEffect, useState } from 'react'
import { type VerificationList, verificationList, verificationRecord } from '../../../shared/schemas/verification.ts'
import type { ZoneInfo } from '../../../shared/schemas/zones.ts'
import { NameField } from '../../_ui/access/NameField.tsx'
import { RoleGate } from '../../_ui/access/RoleGate.tsx'
import { useSignature } from '../../_ui/access/signature.ts'
import { askGateway } from '../../_ui/ask.ts'
import { formatClock, formatDay } from '../../_ui/format.ts'
import { newKey } from '../../_ui/new-key.ts'
import { setQuery } from '../../_ui/query.ts'
import styles from '../Verification.module.css'

/** The records of a zone, and a new one. */
export function RecordList({ zone }: { readonly zone: ZoneInfo }) {
  const [list, setList] = useState<VerificationList | null>(null)
  const [failure, setFailure] = useState<string | null>(null)
  const look = useCallback(async () => {
    const answer = await askGateway(`/api/zones/${encodeURIComponent(zone.id)}/verifications`, verificationList)
    if (answer.ok) setList(answer.value)
    setFailure(answer.ok ? null : `${answer.failure.message} ${answer.failure.remedy}`)
  }, [zone.id])
  useEffect(() => void look(), [look])
  return (
    <div className={styles.page} data-testid="verification">
      <h1>Verification: {zone.name}</h1>
      <p className={styles.lead}>
        From the locked-out machine to warm running: each test with its evidence, its limit and the one rule. A record
        can be left and resumed on any device; what is in it stays as it is.
      </p>
      {failure !== null && <p className={styles.failure}>{failure}</p>}
      <Begin zone={zone} onBegun={(id) => setQuery('record', id, 'push')} />
      <section className={styles.block} aria-labelledby="records">
        <h2 id="records">Records</h2>
        {list !== null && list.records.length === 0 && <p>None yet. Begin one above.</p>}
        <ul className={styles.records}>
          {(list?.records ?? []).map(({ id, title, begunBy, begunMs, changedMs, entries, signed }) => (
            <li key={id}>
              <button
                type="button"
                className={styles.recordButton}
                onClick={() => setQuery('record', id, 'push')}
                data-testid={`open-${id}`}
              >
                <strong translate="no">{title}</strong>
                <span>
                  {formatDay(begunMs)} by {begunBy}; {entries} {entries === 1 ? 'entry' : 'entries'}, the newest{' '}
                  {formatDay(changedMs)} {formatClock(changedMs)}
                </span>
                <span>{signed ? 'signed' : 'open'}</span>
              </button>
            </li>
          ))}
        </ul>
      </section>
    </div>
  )
}

function Begin({ zone, onBegun }: { readonly zone: ZoneInfo; readonly onBegun: (id: string) => void }) {
  const signature = useSignature()
  const [title, setTitle] = useState('')
  const [failure, setFailure] = useState<string | null>(null)
  const [isTried, setTried] = useState(false)
  const begin = async () => {
    setTried(true)
    if (title.trim() === '' || signature.who.trim() === '') return
    const body = { key: newKey(), who: signature.who, title: title.trim() }
    const path = `/api/zones/${encodeURIComponent(zone.id)}/verifications`
    const answer = await askGateway(path, verificationRecord, { method: 'POST', body })
    if (answer.ok) onBegun(answer.value.head.id)
    else setFailure(`${answer.failure.message} ${answer.failure.remedy}`)
  }
  return (
    <RoleGate needs="operate">
      <form
        className={styles.begin}
        onSubmit={(event) => {
          event.preventDefault()
          void begin()
        }}
      >
        <h2>Begin a record</h2>
        <label>
          What it is about
          <input
            value={title}
            maxLength={120}
            placeholder="New cells, return visit after a year …"
            aria-invalid={isTried && title.trim() === ''}
            onChange={(event) => setTitle(event.target.value)}
            data-testid="begin-title"
          />
        </label>
        <NameField signature={signature} isMissing={isTried && signature.who.trim() === ''} testId="begin-who" />
        <button type="submit" className="control" data-testid="begin">
          Begin
        </button>
        {failure !== null && <p className={styles.failure}>{failure}</p>}
      </form>
    </RoleGate>
  )
}
