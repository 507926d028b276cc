'use client'

import { useId, useRef, useState } from 'react'
import { useAlarms, useLink } from '../../_stream/store.ts'
import { RoleGate } from '../../_ui/access/RoleGate.tsx'
import { useSignature } from '../../_ui/access/signature.ts'
import { formatClock } from '../../_ui/format.ts'
import { AlarmRow } from './AlarmRow.tsx'
import styles from './Alarms.module.css'
import { alarmsOfZone, floodWords } from './alarm-words.ts'

interface AlarmListProps {
  /** Alarms of this zone and of the gateway itself; null: of all zones. */
  readonly zone: string | null
}

/** Every alarm with what a person can do to it; what is off is said as well. */
export function AlarmList({ zone }: AlarmListProps) {
  const list = useAlarms()
  const isHeard = useLink().phase === 'live'
  const { who, setWho, isFixed } = useSignature()
  const [isNameMissing, setNameMissing] = useState(false)
  const nameField = useRef<HTMLInputElement>(null)
  if (list === null)
    return <p data-testid="alarm-list">Waiting for the gateway: alarms appear as soon as it answers.</p>
  const { present, normal, off } = alarmsOfZone(list, zone)
  /** The name to sign with; null after asking for one. */
  const signed = (): string | null => {
    const name = who.trim()
    setNameMissing(name === '')
    if (name !== '') return name
    nameField.current?.focus()
    return null
  }
  const row = (alarm: (typeof present)[number]) => (
    <AlarmRow
      key={alarm.id}
      alarm={alarm}
      nowMs={list.timeMs}
      longestMinutes={list.longestShelvingMinutes}
      signed={signed}
    />
  )
  return (
    <div className={styles.list} data-testid="alarm-list">
      {!isHeard && (
        <p className={styles.trouble} role="status">
          The gateway is not heard. All below is of {formatClock(list.timeMs)}.
        </p>
      )}
      {list.notKept !== null && (
        <p className={styles.trouble} role="status">
          What people do to alarms is not kept: a restart would forget it. {list.notKept}
        </p>
      )}
      {list.webhook?.lastError != null && (
        <p className={styles.trouble} role="status">
          Messages to {list.webhook.host} do not arrive: {list.webhook.lastError}. {list.webhook.waiting} wait.
        </p>
      )}
      <RoleGate needs="operate">
        {!isFixed && (
          <NameField who={who} onType={setWho} isMissing={isNameMissing && who.trim() === ''} field={nameField} />
        )}
        {present.length === 0 ? (
          <p className={styles.calm}>No alarm is active, unknown or put aside.</p>
        ) : (
          <ul className={styles.rows}>{present.map(row)}</ul>
        )}
      </RoleGate>
      <p className={styles.flood} data-level={list.flood.level} data-testid="alarm-flood">
        {floodWords(list.flood)} <span className={styles.soft}>{list.flood.source}.</span>
      </p>
      {normal.length > 0 && (
        <details data-testid="alarms-normal">
          <summary>{normal.length} normal: shelve one, or take it out of service, before work begins</summary>
          <RoleGate needs="operate">
            <ul className={styles.rows}>{normal.map(row)}</ul>
          </RoleGate>
        </details>
      )}
      {off.length > 0 && (
        <section aria-label="Alarms that are off" data-testid="alarms-off">
          <p className={styles.title}>Off: nobody is told of these</p>
          <ul>
            {off.map(({ id, title, zoneName, why }) => (
              <li key={id}>
                {zone === null && zoneName !== null && `${zoneName}: `}
                {title}: {why}
              </li>
            ))}
          </ul>
        </section>
      )}
    </div>
  )
}

interface NameFieldProps {
  readonly who: string
  readonly onType: (who: string) => void
  readonly isMissing: boolean
  readonly field: React.RefObject<HTMLInputElement | null>
}

function NameField({ who, onType, isMissing, field }: NameFieldProps) {
  const id = useId()
  return (
    <div className={styles.field}>
      <label htmlFor={id}>Your name</label>
      <input
        id={id}
        ref={field}
        autoComplete="name"
        maxLength={60}
        value={who}
        aria-invalid={isMissing}
        aria-describedby={`${id}-note`}
        onChange={(event) => onType(event.target.value)}
        data-testid="who"
      />
      <span id={`${id}-note`} className={isMissing ? styles.fault : styles.soft}>
        {isMissing ? 'Say who does it.' : 'kept with what you do to an alarm'}
      </span>
    </div>
  )
}
