import type { ReactNode } from 'react'
import styles from './WideBox.module.css'

/** Holds what may be wider than the screen: it scrolls by itself, with a finger or with the arrow keys. */
export function WideBox({ label, children }: { readonly label: string; readonly children: ReactNode }) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard (WCAG 2.2, 2.1.1)
    <section className={styles.box} aria-label={label} tabIndex={0}>
      {children}
    </section>
  )
}
