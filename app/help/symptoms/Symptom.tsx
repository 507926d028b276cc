import Link from 'next/link'
import type { ReactNode } from 'react'
import type { FaultId } from '../../../shared/faults.ts'
import styles from '../_parts/Help.module.css'

interface SymptomProps {
  /** What a link can name after the #. */
  readonly id: string
  /** As somebody sees it who does not know the cause. */
  readonly title: string
  /** Causes of shared/faults.ts that can look so; a test asks that each one is under some symptom. */
  readonly faults?: readonly FaultId[]
  readonly children: ReactNode
}

/** One thing that somebody sees: what it may be, what to look at first, and what settles it. */
export function Symptom({ id, title, faults = [], children }: SymptomProps) {
  return (
    <article className={styles.symptom} id={id} aria-labelledby={`${id}-title`} data-faults={faults.join(' ')}>
      <h3 id={`${id}-title`}>{title}</h3>
      <dl className={styles.parts}>{children}</dl>
    </article>
  )
}

interface PartProps {
  readonly children: ReactNode
}

export function MayBe({ children }: PartProps) {
  return (
    <div>
      <dt>It may be</dt>
      <dd>{children}</dd>
    </div>
  )
}

export function LookFirst({ children }: PartProps) {
  return (
    <div>
      <dt>Look first at</dt>
      <dd>{children}</dd>
    </div>
  )
}

export function Settles({ children }: PartProps) {
  return (
    <div>
      <dt>What settles it</dt>
      <dd>{children}</dd>
    </div>
  )
}

/** Where the product shows it. @param href a page of the dashboard */
export function Where({ href, children }: PartProps & { readonly href: string }) {
  return (
    <div>
      <dt>Where</dt>
      <dd>
        <Link href={href} prefetch={false}>
          {children}
        </Link>
      </dd>
    </div>
  )
}

/** Where hands come near the machine. */
function Hands({ children }: PartProps) {
  return (
    <div data-testid="caution">
      <dt>Caution</dt>
      <dd>
        <strong>{children}</strong>
      </dd>
    </div>
  )
}

/** The caution that stands at every symptom whose test touches roller, cell or wire. */
export function LockedOut() {
  return (
    <Hands>Machine stopped and locked out under the site’s procedure, by qualified people, as the makers say.</Hands>
  )
}

/** The same where the machine must run for the test. */
export function GuardsClosed() {
  return <Hands>The machine runs or is enabled for this: guards closed, hands away, under the site’s rules.</Hands>
}
