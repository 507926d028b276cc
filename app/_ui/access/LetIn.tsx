'use client'

import { usePathname } from 'next/navigation'
import { Fragment, type ReactNode } from 'react'
import { isForEverybody } from '../shell/pages.ts'
import { LogIn } from './LogIn.tsx'
import { isLetIn, useSession } from './session.ts'

/**
 * The page for whoever may see it, or the log-in in its place; the address stays where he wanted to go. A session that
 * ends hides the page and keeps what was typed in it for the same user; another one gets it anew.
 */
export function LetIn({ children }: { readonly children: ReactNode }) {
  const session = useSession()
  const path = usePathname()
  const isOut = session.view !== null && !isLetIn(session) && !isForEverybody(path)
  return (
    <>
      {isOut && <LogIn key={session.before} before={session.before} view={session.view} />}
      <div hidden={isOut}>
        <Fragment key={session.view?.user?.name ?? session.before}>{children}</Fragment>
      </div>
    </>
  )
}
