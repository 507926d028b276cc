'use client'

import Link from 'next/link'
import { usePathname } from 'next/navigation'
import { HELP_PAGES } from '../_model/help-pages.ts'
import styles from './Help.module.css'

/** All pages of Help, beside each of them; on a narrow screen the first page of Help is the list. */
export function HelpNav() {
  const path = usePathname()
  return (
    <nav className={styles.nav} aria-label="Pages of Help">
      <Link href="/help" prefetch={false} aria-current={path === '/help' ? 'page' : undefined}>
        All of Help
      </Link>
      {HELP_PAGES.map((page) => (
        <Link key={page.path} href={page.path} prefetch={false} aria-current={path === page.path ? 'page' : undefined}>
          {page.title}
        </Link>
      ))}
    </nav>
  )
}
