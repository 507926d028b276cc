import { useCallback, useEffect, useState } from 'react'
import { type UserList, type UserView, userList } from '../../../shared/schemas/access.ts'
import { useHindrance, useSession } from '../../_ui/access/session.ts'
import { type Answer, askGateway, type Failure } from '../../_ui/ask.ts'
import { AddUser } from './AddUser.tsx'
import { UserRow } from './UserRow.tsx'
import styles from './Users.module.css'

/** A change of users: answers with all of them, or with why nothing was changed. */
export type ChangeUsers = (
  method: 'POST' | 'PUT' | 'DELETE',
  name: string | null,
  body?: unknown,
) => Promise<Failure | null>

const PATH = '/api/users'

/** Who may log in and do what; an engineer adds, changes and removes. */
export function UsersPanel() {
  const { view } = useSession()
  const hindrance = useHindrance('engineer')
  const [answer, setAnswer] = useState<Answer<UserList> | null>(null)
  const isAllowed = view !== null && hindrance === null
  useEffect(() => {
    if (!isAllowed) return
    const asking = new AbortController()
    askGateway(PATH, userList, { signal: asking.signal })
      .then(setAnswer)
      .catch(() => {}) // aborted: the panel is gone
    return () => asking.abort()
  }, [isAllowed])
  const change = useCallback<ChangeUsers>(async (method, name, body) => {
    const path = name === null ? PATH : `${PATH}/${encodeURIComponent(name)}`
    const told = await askGateway(path, userList, { method, body })
    if (!told.ok) return told.failure
    setAnswer(told)
    return null
  }, [])
  if (hindrance !== null)
    return (
      <p className={styles.reason} data-testid="users-hindrance">
        {hindrance}
      </p>
    )
  if (answer === null) return <p className={styles.soft}>Asking the gateway…</p>
  if (!answer.ok)
    return (
      <p role="alert">
        Not read: {answer.failure.message} {answer.failure.remedy}
      </p>
    )
  const { users } = answer.value
  return (
    <div className={styles.panel} data-testid="users">
      {users.length === 0 ? (
        <p className={styles.lead}>
          There are no users: no log-in, and this gateway listens to this machine only. With the first user, an
          engineer, everybody has to log in; then the gateway may also be opened to the network (gateway: host in the
          config).
        </p>
      ) : (
        <ul className={styles.list}>
          {users.map((user) => (
            <UserRow
              key={user.name}
              user={user}
              isMe={user.name === view?.user?.name}
              isLastEngineer={isLastEngineer(user, users)}
              change={change}
            />
          ))}
        </ul>
      )}
      <AddUser isFirst={users.length === 0} change={change} />
      <p className={styles.soft}>
        Only hashes of passwords are kept. A token for a machine is made at the gateway with{' '}
        <code>evenpull users token</code>.
      </p>
    </div>
  )
}

function isLastEngineer(user: UserView, users: readonly UserView[]): boolean {
  const canManage = ({ role, hasPassword }: UserView) => role === 'engineer' && hasPassword
  return canManage(user) && users.filter(canManage).length === 1
}
