import { useState } from 'react'
import { ROLES, type Role } from '../../../shared/roles.ts'
import { ROLE_WORDS } from '../../_ui/access/AccountMenu.tsx'
import type { Failure } from '../../_ui/ask.ts'
import { PasswordField } from './PasswordField.tsx'
import styles from './Users.module.css'
import type { ChangeUsers } from './UsersPanel.tsx'

interface AddUserProps {
  readonly isFirst: boolean
  readonly change: ChangeUsers
}

/** Name, role and first password of a new user; what was typed stays when it is refused. */
export function AddUser({ isFirst, change }: AddUserProps) {
  const [name, setName] = useState('')
  const [chosen, setRole] = useState<Role>('operate')
  const [password, setPassword] = useState('')
  const [isBusy, setBusy] = useState(false)
  const [failure, setFailure] = useState<Failure | null>(null)
  const role = isFirst ? 'engineer' : chosen
  const add = async () => {
    setBusy(true)
    const refused = await change('POST', null, { name, role, password })
    setBusy(false)
    setFailure(refused)
    if (refused !== null) return
    setName('')
    setPassword('')
  }
  return (
    <form
      className={styles.add}
      aria-labelledby="add-user-title"
      onSubmit={(event) => {
        event.preventDefault()
        if (!isBusy) void add()
      }}
      data-testid="add-user"
    >
      <h3 id="add-user-title">{isFirst ? 'Add the first user' : 'Add a user'}</h3>
      <div className={styles.form}>
        <div className={styles.field}>
          <label>
            Name
            <input
              autoComplete="off"
              maxLength={60}
              required
              value={name}
              onChange={(event) => setName(event.target.value)}
              data-testid="new-user-name"
            />
          </label>
        </div>
        <div className={styles.field}>
          <label>
            Role
            <select
              value={role}
              disabled={isFirst}
              onChange={(event) => setRole(ROLES.find((one) => one === event.target.value) ?? 'view')}
              data-testid="new-user-role"
            >
              {ROLES.map((one) => (
                <option key={one} value={one}>
                  {one}
                </option>
              ))}
            </select>
          </label>
          <p className={styles.soft}>{isFirst ? 'Somebody has to manage users.' : `${role} ${ROLE_WORDS[role]}.`}</p>
        </div>
        <PasswordField label="First password" value={password} onChange={setPassword} />
      </div>
      <p>
        <button type="submit" className="control" disabled={isBusy} data-testid="new-user-button">
          {isBusy ? 'Adding…' : 'Add'}
        </button>
      </p>
      {failure !== null && (
        <p className={styles.failure} role="alert">
          <strong>Not added.</strong> {failure.message} {failure.remedy}
        </p>
      )}
    </form>
  )
}
