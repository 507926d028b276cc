import { useId, useState } from 'react'
import { ROLES } from '../../../shared/roles.ts'
import type { UserView } from '../../../shared/schemas/access.ts'
import { ROLE_WORDS } from '../../_ui/access/AccountMenu.tsx'
import type { Failure } from '../../_ui/ask.ts'
import { formatDay } from '../../_ui/format.ts'
import { PasswordField } from './PasswordField.tsx'
import styles from './Users.module.css'
import type { ChangeUsers } from './UsersPanel.tsx'

interface UserRowProps {
  readonly user: UserView
  readonly isMe: boolean
  readonly isLastEngineer: boolean
  readonly change: ChangeUsers
}

/** One user: his role, a new password, and the way out, each asked for twice where it cannot be taken back. */
export function UserRow({ user, isMe, isLastEngineer, change }: UserRowProps) {
  const [open, setOpen] = useState<'nothing' | 'password' | 'remove'>('nothing')
  const [isBusy, setBusy] = useState(false)
  const [failure, setFailure] = useState<Failure | null>(null)
  const note = useId()
  const act = async (...given: Parameters<ChangeUsers>) => {
    setBusy(true)
    const refused = await change(...given)
    setBusy(false)
    setFailure(refused)
    if (refused === null) setOpen('nothing')
  }
  return (
    <li data-testid="user" data-name={user.name}>
      <div className={styles.row}>
        <p className={styles.name}>
          <strong>{user.name}</strong>
          {isMe && ' (you)'}
          <span className={styles.soft}>
            {user.hasPassword ? '' : 'machine, no password; '}
            {user.tokenMs === null ? '' : `token of ${formatDay(user.tokenMs)}; `}changed {formatDay(user.changedMs)}
          </span>
        </p>
        <label className={styles.role}>
          <span className="heard-only">Role of {user.name}</span>
          <select
            value={user.role}
            disabled={isBusy || isLastEngineer}
            aria-describedby={note}
            onChange={(event) => void act('PUT', user.name, { role: event.target.value })}
            data-testid="user-role"
          >
            {ROLES.map((role) => (
              <option key={role} value={role}>
                {role}
              </option>
            ))}
          </select>
        </label>
        <button
          type="button"
          className="control"
          aria-expanded={open === 'password'}
          disabled={isBusy}
          onClick={() => setOpen(open === 'password' ? 'nothing' : 'password')}
        >
          New password<span className="heard-only"> for {user.name}</span>
        </button>
        <button
          type="button"
          className="control"
          aria-expanded={open === 'remove'}
          disabled={isBusy || isLastEngineer}
          onClick={() => setOpen(open === 'remove' ? 'nothing' : 'remove')}
          data-testid="user-remove"
        >
          Remove<span className="heard-only"> {user.name}</span>
        </button>
      </div>
      <p id={note} className={styles.soft}>
        {isLastEngineer
          ? 'The last engineer: role and user stay until there is another.'
          : `${user.role} ${ROLE_WORDS[user.role]}. A change ends every session of ${isMe ? 'yours' : user.name}.`}
      </p>
      {open === 'password' && (
        <PasswordForm
          label={`New password of ${user.name}`}
          isBusy={isBusy}
          onGiven={(password) => void act('PUT', user.name, { password })}
        />
      )}
      {open === 'remove' && (
        <p className={styles.tools}>
          Remove {user.name} for good?{' '}
          <button
            type="button"
            className="control"
            disabled={isBusy}
            onClick={() => void act('DELETE', user.name)}
            data-testid="user-remove-sure"
          >
            Remove
          </button>
          <button type="button" className="control" onClick={() => setOpen('nothing')}>
            Keep
          </button>
        </p>
      )}
      {failure !== null && (
        <p className={styles.failure} role="alert">
          <strong>Not changed.</strong> {failure.message} {failure.remedy}
        </p>
      )}
    </li>
  )
}

interface PasswordFormProps {
  readonly label: string
  readonly isBusy: boolean
  readonly onGiven: (password: string) => void
}

function PasswordForm({ label, isBusy, onGiven }: PasswordFormProps) {
  const [password, setPassword] = useState('')
  return (
    <form
      className={styles.form}
      onSubmit={(event) => {
        event.preventDefault()
        onGiven(password)
      }}
    >
      <PasswordField label={label} value={password} onChange={setPassword} />
      <button type="submit" className="control" disabled={isBusy}>
        Set the password
      </button>
    </form>
  )
}
