'use client'

import { Fragment, type ReactNode, useEffect } from 'react'
import { useUnits } from '../_ui/units.tsx'
import { settle, tellInUnits, useTellingVersion } from './choice.ts'
import { told } from './current.ts'

/**
 * Everything that shows texts. It wakes up as exported, in English, so that it fits the HTML that is there; then it is
 * mounted anew in the reader's language, behind a page that is not shown meanwhile.
 */
export function LanguageRoot({ children }: { readonly children: ReactNode }) {
  const version = useTellingVersion()
  const { choice } = useUnits()
  useEffect(() => {
    void settle()
  }, [])
  useEffect(() => tellInUnits(choice), [choice])
  useToldTitle(version)
  return <Fragment key={version}>{children}</Fragment>
}

/** The title of the window comes from Next, in English, with every page anew. */
function useToldTitle(version: number): void {
  useEffect(() => {
    if (version === 0) return
    let last = ''
    const say = () => {
      if (document.title === last) return
      const title = document.title.replace(/^[^·]+?(?= · )|^[^·]+$/, (words) => told(words))
      last = title
      if (title !== document.title) document.title = title
    }
    say()
    const observer = new MutationObserver(say)
    observer.observe(document.head, { childList: true, subtree: true, characterData: true })
    return () => observer.disconnect()
  }, [version])
}
