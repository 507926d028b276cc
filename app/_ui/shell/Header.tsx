'use client'

import Link from 'next/link'
import { usePathname } from 'next/navigation'
import { useHello } from '../../_stream/store.ts'
import { AccountMenu } from '../access/AccountMenu.tsx'
import { setQuery, useQuery } from '../query.ts'
import { useZoneChoice } from '../zone-choice.ts'
import styles from './Header.module.css'
import { isWithin, PAGES, showsOneZone } from './pages.ts'
import { Sheet } from './Sheet.tsx'
import { Shortcuts, ShortcutsButton } from './Shortcuts.tsx'
import { ThemeMenu } from './ThemeMenu.tsx'
import { UnitsMenu } from './UnitsMenu.tsx'

/** Plant, line and zone; the pages; units, theme and keys. */
export function Header() {
  return (
    <header className={styles.header}>
      <Place />
      <Sheet>
        <Pages />
        <div className={styles.choices}>
          <UnitsMenu />
          <ThemeMenu />
          <ShortcutsButton />
          <AccountMenu />
        </div>
      </Sheet>
      <Shortcuts />
    </header>
  )
}

function Place() {
  const hello = useHello()
  const { zones, zone } = useZoneChoice()
  const isOfOneZone = showsOneZone(usePathname())
  const names = [hello?.zones.plant, hello?.zones.line].filter((name) => name != null)
  return (
    <div className={styles.place}>
      <p className={styles.plant} translate="no">
        {names.length > 0 ? names.join(' · ') : 'Evenpull'}
      </p>
      {isOfOneZone && (
        <label className={styles.zone}>
          <span className="heard-only">Zone</span>
          <select
            className={styles.select}
            value={zone?.id ?? ''}
            disabled={zones.length === 0}
            onChange={(event) => setQuery('zone', event.target.value, 'push')}
            data-testid="zone-chooser"
          >
            {zone === null && <option value="">{zones.length === 0 ? 'no zone yet' : 'choose a zone'}</option>}
            {zones.map(({ id, name }) => (
              <option key={id} value={id} translate="no">
                {name}
              </option>
            ))}
          </select>
        </label>
      )}
    </div>
  )
}

function Pages() {
  const path = usePathname()
  const zone = useQuery('zone')
  const query = zone === null ? '' : `?${new URLSearchParams({ zone })}`
  return (
    <nav className={styles.pages} aria-label="Pages">
      {PAGES.map((page) => (
        <Link
          key={page.path}
          href={page.path + query}
          prefetch={false}
          aria-current={isWithin(path, page.path) ? 'page' : undefined}
        >
          {page.title}
        </Link>
      ))}
    </nav>
  )
}
