'use client'

import Link from 'next/link'
import { HELP_PAGES } from './_model/help-pages.ts'
import styles from './_parts/Help.module.css'
import { Caution } from './_parts/HelpPage.tsx'

export function HelpStart() {
  return (
    <article className={styles.page} data-testid="help-page">
      <h1>Help</h1>
      <p className={styles.lead}>
        Short pages that come with the gateway. They need no network, and the search of the browser finds words in them.
      </p>
      <Caution>
        Evenpull only reads. Work on a roller, a cell or an amplifier is done with the machine stopped and locked out
        under the site’s own procedure, by qualified people, and by the makers’ instructions. Those rules go before
        anything that is said here.
      </Caution>
      <ul className={styles.list}>
        {HELP_PAGES.map(({ path, title, says }) => (
          <li key={path}>
            <Link href={path} prefetch={false}>
              <strong>{title}</strong>
              <span>{says}</span>
            </Link>
          </li>
        ))}
      </ul>
      <p>
        <Link href="/set-up">Set-up</Link> shows what this gateway reads, keeps and sends on, and the config in force.
      </p>
    </article>
  )
}
