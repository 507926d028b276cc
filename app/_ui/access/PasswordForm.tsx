import { useState } from 'react'
import { LEAST_PASSWORD, MOST_PASSWORD } from '../../../shared/schemas/access.ts'
import type { Failure } from '../ask-now.ts'
import styles from './AccountMenu.module.css'
import { changePassword } from './session.ts'

/** His own password, changed by who is logged in. What was typed stays when it was refused. */
export function PasswordForm({ user }: { readonly user: string }) {
  const [present, setPresent] = useState('')
  const [password, setPassword] = useState('')
  const [isBusy, setBusy] = useState(false)
  const [isDone, setDone] = useState(false)
  const [failure, setFailure] = useState<Failure | null>(null)
  const change = async () => {
    if (isBusy) return
    setBusy(true)
    setDone(false)
    const refused = await changePassword(present, password)
    setBusy(false)
    setFailure(refused)
    if (refused !== null) return
    setPresent('')
    setPassword('')
    setDone(true)
  }
  return (
    <details className={styles.password}>
      <summary data-testid="password-open">Change the password</summary>
      <form
        className={styles.who}
        data-testid="password-form"
        onSubmit={(event) => {
          event.preventDefault()
          void change()
        }}
      >
        {/* For password managers: whose password this is. */}
        <input type="text" autoComplete="username" value={user} readOnly hidden />
        <label className={styles.field}>
          Present password
          <input
            type="password"
            autoComplete="current-password"
            required
            maxLength={MOST_PASSWORD}
            value={present}
            onChange={(event) => setPresent(event.target.value)}
            data-testid="password-present"
          />
        </label>
        <label className={styles.field}>
          New password, at least {LEAST_PASSWORD} characters
          <input
            type="password"
            autoComplete="new-password"
            required
            minLength={LEAST_PASSWORD}
            maxLength={MOST_PASSWORD}
            value={password}
            onChange={(event) => setPassword(event.target.value)}
            data-testid="password-new"
          />
        </label>
        <button type="submit" className="control" disabled={isBusy} data-testid="password-change">
          {isBusy ? 'Changing…' : 'Change'}
        </button>
        {failure !== null && (
          <p role="alert" data-testid="password-failure">
            <strong>Not changed:</strong> {failure.message}. {failure.remedy}
          </p>
        )}
        <p role="status" data-testid="password-done">
          {isDone && 'Changed. Every other session under this name has ended.'}
        </p>
      </form>
    </details>
  )
}
