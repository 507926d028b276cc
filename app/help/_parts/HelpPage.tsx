import Link from 'next/link'
import type { ReactNode } from 'react'
import { HELP_PAGES, type HelpPath } from '../_model/help-pages.ts'
import styles from './Help.module.css'

interface HelpPageProps {
  readonly path: HelpPath
  /** What the page settles, in a sentence or two. */
  readonly lead: ReactNode
  readonly children: ReactNode
}

/** One page of Help: its title, what it is for, its sections, and the way on. */
export function HelpPage({ path, lead, children }: HelpPageProps) {
  const place = HELP_PAGES.findIndex((page) => page.path === path)
  const next = HELP_PAGES[place + 1]
  return (
    <article className={styles.page} data-testid="help-page">
      <h1>{HELP_PAGES[place]?.title}</h1>
      <p className={styles.lead}>{lead}</p>
      {children}
      <nav className={styles.onward} aria-label="On from here">
        <Link className="control" href="/help" prefetch={false}>
          All of Help
        </Link>
        {next !== undefined && (
          <Link className="control" href={next.path} prefetch={false}>
            {next.title}
          </Link>
        )}
      </nav>
    </article>
  )
}

interface SectionProps {
  /** What a link can name after the #. */
  readonly id: string
  readonly title: string
  readonly children: ReactNode
}

export function Section({ id, title, children }: SectionProps) {
  return (
    <section className={styles.section} id={id}>
      <h2>{title}</h2>
      {children}
    </section>
  )
}

/** Steps in their order. */
export function Steps({ children }: { readonly children: ReactNode }) {
  return <ol className={styles.steps}>{children}</ol>
}

/** What has no order. */
export function Points({ children }: { readonly children: ReactNode }) {
  return <ul className={styles.points}>{children}</ul>
}

/** Where hands come near the machine. */
export function Caution({ children }: { readonly children: ReactNode }) {
  return (
    <p className={styles.caution} data-testid="caution">
      {children}
    </p>
  )
}

/** Small print that belongs to what stands above it. */
export function Note({ children }: { readonly children: ReactNode }) {
  return <p className={styles.note}>{children}</p>
}
