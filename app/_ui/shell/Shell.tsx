'use client'

import type { ReactNode } from 'react'
import { LanguageRoot } from '../../_language/LanguageRoot.tsx'
import { LetIn } from '../access/LetIn.tsx'
import { ExerciseStrip } from '../training/ExerciseStrip.tsx'
import { UnitsProvider } from '../units.tsx'
import { AlarmMark } from './AlarmMark.tsx'
import { ConfigRefused } from './ConfigRefused.tsx'
import { Header } from './Header.tsx'
import styles from './Shell.module.css'
import { PrintedAt, StatusStrip } from './StatusStrip.tsx'

/** What every page has: where it is, whether it is live, and the reader's own choices. */
export function Shell({ children }: { readonly children: ReactNode }) {
  return (
    <UnitsProvider>
      <LanguageRoot>
        <SkipLink />
        <Header />
        <div className={styles.bar}>
          <StatusStrip />
          <AlarmMark />
        </div>
        <PrintedAt />
        <ConfigRefused />
        <main id="content" tabIndex={-1} className={styles.main}>
          <LetIn>{children}</LetIn>
        </main>
        <ExerciseStrip />
      </LanguageRoot>
    </UnitsProvider>
  )
}

/** A component of its own: what this frame renders is made once, before anybody has chosen a language. */
function SkipLink() {
  return (
    <a className={styles.skip} href="#content">
      To the content
    </a>
  )
}
