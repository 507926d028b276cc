import { useId, useState } from 'react'
import { LEAST_PASSWORD, MOST_PASSWORD } from '../../../shared/schemas/access.ts'
import styles from './Users.module.css'

interface PasswordFieldProps {
  readonly label: string
  readonly value: string
  readonly onChange: (value: string) => void
}

/** A new password: hidden until asked to be shown, so that nobody has to type it twice. */
export function PasswordField({ label, value, onChange }: PasswordFieldProps) {
  const [isShown, setShown] = useState(false)
  const note = useId()
  return (
    <div className={styles.field}>
      <label>
        {label}
        <input
          type={isShown ? 'text' : 'password'}
          autoComplete="new-password"
          minLength={LEAST_PASSWORD}
          maxLength={MOST_PASSWORD}
          required
          value={value}
          aria-describedby={note}
          onChange={(event) => onChange(event.target.value)}
          data-testid="new-password"
        />
      </label>
      <label className={styles.show}>
        <input type="checkbox" checked={isShown} onChange={(event) => setShown(event.target.checked)} />
        Show it
      </label>
      <p id={note} className={styles.soft}>
        At least {LEAST_PASSWORD} characters; a few words are better than a short riddle.
      </p>
    </div>
  )
}
