import { type ReactNode, useId } from 'react'
import styles from './RoleGate.module.css'
import { useHindrance } from './session.ts'

interface RoleGateProps {
  readonly needs: 'operate' | 'engineer'
  readonly children: ReactNode
}

/** Controls that need a role: for whoever has it as they are, for others shown, disabled, and with the reason. */
export function RoleGate({ needs, children }: RoleGateProps) {
  const hindrance = useHindrance(needs)
  const note = useId()
  return (
    <fieldset
      className={styles.gate}
      disabled={hindrance !== null}
      aria-describedby={hindrance === null ? undefined : note}
    >
      {hindrance !== null && (
        <p id={note} className={styles.reason} data-testid="role-reason">
          {hindrance}
        </p>
      )}
      {children}
    </fieldset>
  )
}
