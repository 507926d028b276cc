import { useState } from 'react'
import { storedEvent } from '../../../shared/schemas/events.ts'
import { clockText } from '../../_plots/time-ticks.ts'
import { NameField } from '../../_ui/access/NameField.tsx'
import { RoleGate } from '../../_ui/access/RoleGate.tsx'
import { useSignature } from '../../_ui/access/signature.ts'
import { askGateway, type Failure } from '../../_ui/ask.ts'
import { formatDay } from '../../_ui/format.ts'
import { newKey } from '../../_ui/new-key.ts'
import { useRememberedText } from '../../_ui/remembered.ts'
import type { Span } from '../_model/shift-choice.ts'
import styles from '../Shift.module.css'

interface BaselineFormProps {
  readonly zone: string
  readonly shown: Span
  readonly onNamed: () => void
}

/** Names what is shown as the stretch that later shifts are compared with. What was typed stays until it is recorded. */
export function BaselineForm({ zone, shown, onNamed }: BaselineFormProps) {
  const signature = useSignature()
  const { who } = signature
  const [text, setText] = useRememberedText(`evenpull.baseline.draft.${zone}`, '')
  const [fault, setFault] = useState<string | null>(null)
  const [failure, setFailure] = useState<Failure | null>(null)
  const [isSending, setSending] = useState(false)
  /** The same key until it is recorded: sent twice, it is named once. */
  const [key, setKey] = useState<() => string>(newKeyLater)
  const name = async () => {
    const missing = text.trim() === '' ? 'Say what this stretch is.' : who.trim() === '' ? 'Say who names it.' : null
    setFault(missing)
    if (missing !== null) return
    setSending(true)
    const body = {
      key: key(),
      who: who.trim(),
      text: text.trim(),
      fromMs: Math.round(shown.fromMs),
      toMs: Math.round(shown.toMs),
    }
    const answer = await askGateway(`/api/zones/${encodeURIComponent(zone)}/baselines`, storedEvent, {
      method: 'POST',
      body,
    })
    setSending(false)
    setFailure(answer.ok ? null : answer.failure)
    if (!answer.ok) return
    setKey(newKeyLater)
    setText('')
    onNamed()
  }
  return (
    <RoleGate needs="operate">
      <form
        className={`${styles.row} not-printed`}
        data-testid="baseline-form"
        onSubmit={(event) => {
          event.preventDefault()
          void name()
        }}
      >
        <label className={styles.grow}>
          Name what is shown ({formatDay(shown.fromMs)} {clockText(shown.fromMs, 1000)} to {clockText(shown.toMs, 1000)}
          ) as the hand-over baseline
          <input
            type="text"
            maxLength={200}
            placeholder="as handed over, web at normal tension"
            value={text}
            onChange={(event) => setText(event.target.value)}
            data-testid="baseline-text"
          />
        </label>
        <NameField signature={signature} isMissing={fault !== null && who.trim() === ''} testId="baseline-who" />
        <button type="submit" className="control" disabled={isSending} data-testid="baseline-add">
          {isSending ? 'Recording…' : 'Name the baseline'}
        </button>
        {fault !== null && (
          <p className={styles.fault} role="alert">
            {fault}
          </p>
        )}
        {failure !== null && (
          <p className={styles.fault} role="alert">
            Not recorded: {failure.message} {failure.remedy}
          </p>
        )}
      </form>
    </RoleGate>
  )
}

/** Made when it is first used: not while the page is being built, where there is no randomness to take. */
function newKeyLater(): () => string {
  let key: string | null = null
  return () => {
    key ??= newKey()
    return key
  }
}
