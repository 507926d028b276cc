import type { ReactNode } from 'react'
import styles from './_parts/Help.module.css'
import { HelpNav } from './_parts/HelpNav.tsx'

export default function HelpLayout({ children }: { readonly children: ReactNode }) {
  return (
    <div className={styles.frame}>
      <HelpNav />
      {children}
    </div>
  )
}
