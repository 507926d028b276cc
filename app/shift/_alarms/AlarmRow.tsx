import { useState } from 'react'
import type { Alarm } from '../../../shared/schemas/alarms.ts'
import type { Failure } from '../../_ui/ask.ts'
import { PriorityMark } from '../../_ui/PriorityMark.tsx'
import { useUnits } from '../../_ui/units.tsx'
import styles from './Alarms.module.css'
import { type AlarmAct, actOnAlarm } from './act.ts'
import { readingWords, sinceWords, stateWords } from './alarm-words.ts'
import { PutAsideForm } from './PutAsideForm.tsx'

interface AlarmRowProps {
  readonly alarm: Alarm
  readonly nowMs: number
  readonly longestMinutes: number
  /** The name to sign with; null while there is none, and it has been asked for. */
  readonly signed: () => string | null
}

type Aside = 'shelve' | 'out-of-service'

/** One alarm: what is wrong, what was and is seen, how it stands, and what can be done. */
export function AlarmRow({ alarm, nowMs, longestMinutes, signed }: AlarmRowProps) {
  const units = useUnits()
  const [aside, setAside] = useState<Aside | null>(null)
  const [isBusy, setBusy] = useState(false)
  const [failure, setFailure] = useState<Failure | null>(null)
  const act = async (kind: AlarmAct, more: Record<string, unknown> = {}): Promise<boolean> => {
    const who = signed()
    if (who === null || isBusy) return false
    setBusy(true)
    const failed = await actOnAlarm(alarm.id, kind, { who, ...more })
    setBusy(false)
    setFailure(failed)
    if (failed === null) setAside(null)
    return failed === null
  }
  const { announced, now } = alarm
  const isOver = alarm.standing !== 'active'
  return (
    <li
      className={styles.row}
      data-state={alarm.state}
      data-standing={alarm.standing}
      data-asks={alarm.asksForNotice}
      data-testid={`alarm-${alarm.id}`}
    >
      <div className={styles.head}>
        <span className={styles.picture}>
          <PriorityMark priority={alarm.priority} isHollow={!alarm.asksForNotice} />
        </span>
        <p className={styles.title}>
          {alarm.zoneName !== null && <span className={styles.zone}>{alarm.zoneName}: </span>}
          {alarm.title} <span className={styles.wrong}>{alarm.wrong}</span>
        </p>
        <p className={styles.state}>
          <strong data-testid="alarm-state">{stateWords(alarm)}</strong>
          <span className={styles.soft}>{alarm.priority} priority</span>
          {alarm.firstOut && <span className={styles.first}>came first</span>}
        </p>
      </div>
      <div className={styles.facts}>
        {announced !== null && <p>When announced: {readingWords(announced, units)}</p>}
        {now !== null && (isOver || announced === null) && <p>Now: {readingWords(now, units)}</p>}
        {sinceWords(alarm, nowMs).map((words) => (
          <p key={words} className={styles.soft}>
            {words}
          </p>
        ))}
      </div>
      <div className={styles.actions}>
        <Buttons alarm={alarm} isBusy={isBusy} aside={aside} onAct={act} onAside={setAside} />
      </div>
      {aside !== null && (
        <PutAsideForm
          kind={aside}
          longestMinutes={longestMinutes}
          isBusy={isBusy}
          onSubmit={(more) => act(aside, more)}
          onCancel={() => setAside(null)}
        />
      )}
      {failure !== null && (
        <p className={styles.trouble} role="alert">
          <strong>Not done.</strong> {failure.message} {failure.remedy}{' '}
          <span className={styles.soft}>{failure.code}</span>
        </p>
      )}
    </li>
  )
}

interface ButtonsProps {
  readonly alarm: Alarm
  readonly isBusy: boolean
  readonly aside: Aside | null
  readonly onAct: (act: AlarmAct) => void
  readonly onAside: (aside: Aside | null) => void
}

function Buttons({ alarm, isBusy, aside, onAct, onAside }: ButtonsProps) {
  const doing = (act: AlarmAct, words: string) => (
    <button type="button" className="control" disabled={isBusy} onClick={() => onAct(act)} data-testid={act}>
      {words}
    </button>
  )
  const opening = (kind: Aside, words: string) => (
    <button
      type="button"
      className="control"
      aria-expanded={aside === kind}
      disabled={isBusy}
      onClick={() => onAside(aside === kind ? null : kind)}
      data-testid={`open-${kind}`}
    >
      {words}
    </button>
  )
  if (alarm.state === 'out-of-service') return doing('in-service', 'Put back in service')
  return (
    <>
      {alarm.asksForNotice && doing('acknowledge', 'Acknowledge')}
      {alarm.state === 'shelved' ? doing('unshelve', 'End shelving') : opening('shelve', 'Shelve…')}
      {opening('out-of-service', 'Out of service…')}
    </>
  )
}
