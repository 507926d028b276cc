'use client'

import { useState } from 'react'
import type { Role } from '../../../shared/roles.ts'
import type { SessionView } from '../../../shared/schemas/access.ts'
import type { Failure } from '../ask-now.ts'
import { Menu } from '../shell/Menu.tsx'
import styles from './AccountMenu.module.css'
import { PasswordForm } from './PasswordForm.tsx'
import { logOut, useSession } from './session.ts'

export const ROLE_WORDS: Record<Role, string> = {
  view: 'may look at everything and change nothing',
  operate: 'may read registers, acknowledge and shelve alarms, write notes, take zeros and name baselines',
  engineer: 'may also change config, calibration, geometry and users',
}

/** Who uses this page, and the way out. */
export function AccountMenu() {
  const { view } = useSession()
  return (
    <div className={styles.account} data-testid="account">
      <Menu id="account" label={view?.user?.name ?? (view?.login === 'on' ? 'Log-in' : 'No log-in')}>
        <Who view={view} />
      </Menu>
    </div>
  )
}

function Who({ view }: { readonly view: SessionView | null }) {
  const [failure, setFailure] = useState<Failure | null>(null)
  if (view === null) return <p>Asking the gateway who is logged in.</p>
  if (view.login === 'off')
    return (
      <p data-testid="no-log-in">
        No log-in: this gateway listens to this machine only, and whoever sits at it may do everything. Users are added
        on Set-up.
      </p>
    )
  if (view.user === null) return <p>Nobody is logged in.</p>
  return (
    <div className={styles.who}>
      <p data-testid="who-am-i">
        <strong>{view.user.name}</strong>, {view.user.role}: {ROLE_WORDS[view.user.role]}.
      </p>
      {!view.encrypted && !view.thisMachineOnly && <p className={styles.soft}>This connection is not encrypted.</p>}
      <PasswordForm user={view.user.name} />
      <button type="button" className="control" onClick={() => void logOut().then(setFailure)} data-testid="log-out">
        Log out
      </button>
      {failure !== null && (
        <p role="alert">
          <strong>Still logged in.</strong> {failure.message} {failure.remedy}
        </p>
      )}
    </div>
  )
}
