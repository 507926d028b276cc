'use client'

import { usePathname } from 'next/navigation'
import { type ReactNode, useEffect, useRef } from 'react'
import { isWithin, PAGES } from './pages.ts'
import styles from './Sheet.module.css'

const ID = 'pages-and-choices'

/**
 * The pages and the reader's choices: part of the header where there is room; on a phone they come up from the lower edge,
 * and the button that fetches them says which page this is, so that the figures get the screen.
 */
export function Sheet({ children }: { readonly children: ReactNode }) {
  const sheet = useRef<HTMLDivElement>(null)
  const path = usePathname()
  const title = PAGES.find((page) => isWithin(path, page.path))?.title ?? 'Pages'
  const close = () => sheet.current?.matches(':popover-open') && sheet.current.hidePopover()
  // biome-ignore lint/correctness/useExhaustiveDependencies: it closes when the page has become another one
  useEffect(() => {
    close()
  }, [path])
  return (
    <>
      <button type="button" className={`control opens ${styles.opener}`} popoverTarget={ID} data-testid="to-pages">
        <span className="heard-only">Pages and choices; here:</span>
        <span>{title}</span>
      </button>
      {/* biome-ignore lint/a11y/noStaticElementInteractions: only what bubbles up from a link is heard */}
      {/* biome-ignore lint/a11y/useKeyWithClickEvents: Enter on a link is a click */}
      <div
        id={ID}
        ref={sheet}
        popover="auto"
        className={styles.sheet}
        onClick={(event) => event.target instanceof HTMLAnchorElement && close()}
      >
        {children}
      </div>
    </>
  )
}
