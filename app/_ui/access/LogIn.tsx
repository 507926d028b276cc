import { useEffect, useRef, useState } from 'react'
import type { SessionView } from '../../../shared/schemas/access.ts'
import type { Failure } from '../ask-now.ts'
import styles from './LogIn.module.css'
import { logIn } from './session.ts'

interface LogInProps {
  readonly view: SessionView
  /** Who was logged in until now; null: nobody. */
  readonly before: string | null
}

/** Name and password, and what a wrong one or an open line means. */
export function LogIn({ view, before }: LogInProps) {
  const [name, setName] = useState(before ?? '')
  const [password, setPassword] = useState('')
  const [isBusy, setBusy] = useState(false)
  const [failure, setFailure] = useState<Failure | null>(null)
  const first = useRef<HTMLInputElement>(null)
  useEffect(() => first.current?.focus(), [])
  const enter = async () => {
    if (isBusy) return
    setBusy(true)
    const refused = await logIn(name, password)
    setBusy(false)
    setFailure(refused)
    if (refused !== null) {
      setPassword('')
      first.current?.focus()
    }
  }
  const nameField = (
    <label className={styles.field}>
      Name
      <input
        ref={before === null ? first : null}
        autoComplete="username"
        autoCapitalize="none"
        spellCheck={false}
        maxLength={60}
        required
        value={name}
        onChange={(event) => setName(event.target.value)}
        data-testid="log-in-name"
      />
    </label>
  )
  return (
    <section className={styles.logIn} aria-labelledby="log-in-title" data-testid="log-in">
      <h1 id="log-in-title">{before === null ? 'Log in' : 'Log in again'}</h1>
      {before !== null && (
        <p role="status" data-testid="session-ended">
          The session of {before} has ended. What was typed on this page is kept for {before}.
        </p>
      )}
      <form
        className={styles.form}
        onSubmit={(event) => {
          event.preventDefault()
          void enter()
        }}
      >
        {nameField}
        <label className={styles.field}>
          Password
          <input
            ref={before === null ? null : first}
            type="password"
            autoComplete="current-password"
            required
            value={password}
            onChange={(event) => setPassword(event.target.value)}
            data-testid="log-in-password"
          />
        </label>
        <button type="submit" className="control" disabled={isBusy} data-testid="log-in-button">
          {isBusy ? 'Checking…' : 'Log in'}
        </button>
      </form>
      {failure !== null && (
        <p className={styles.failure} role="alert" data-testid="log-in-failure">
          <strong>Not logged in.</strong> {sentence(failure.message)} {failure.remedy}
        </p>
      )}
      {!view.encrypted && !view.thisMachineOnly && (
        <p className={styles.soft} data-testid="not-encrypted">
          This connection is not encrypted: whoever listens on the network can read the password. An engineer can name a
          certificate in the config (gateway: tls).
        </p>
      )}
      <p className={styles.soft}>
        No name yet, or the password forgotten? An engineer sets both on Set-up, or with <code>evenpull users</code> at
        the gateway.
      </p>
    </section>
  )
}

const sentence = (text: string) => `${text.charAt(0).toUpperCase()}${text.slice(1)}.`
