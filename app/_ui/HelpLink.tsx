import Link from 'next/link'
import type { ReactNode } from 'react'
import styles from './HelpLink.module.css'

interface HelpLinkProps {
  /** A page of Help and a place on it; the browser tests look whether it is there. */
  readonly to: `/help/${string}`
  readonly children: ReactNode
}

/** From where a question arises to where Help answers it. */
export function HelpLink({ to, children }: HelpLinkProps) {
  return (
    <Link className={`${styles.link} not-printed`} href={to} prefetch={false}>
      {children}
    </Link>
  )
}
