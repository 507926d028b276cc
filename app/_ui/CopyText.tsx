'use client'

import { useState } from 'react'
import styles from './CopyText.module.css'

/** Text to paste elsewhere. Without a clipboard the text is selected instead, ready for the keys. */
export function CopyText({ text, label }: { readonly text: string; readonly label: string }) {
  const [said, setSaid] = useState('')
  const copy = async (block: HTMLElement | null) => {
    try {
      await navigator.clipboard.writeText(text)
      setSaid('Copied.')
    } catch {
      if (block !== null) getSelection()?.selectAllChildren(block)
      setSaid('Selected: copy it with the keys.')
    }
  }
  return (
    <div className={styles.copy} data-is-short={!text.includes('\n')}>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard */}
      <section className={styles.code} aria-label={label} tabIndex={0}>
        <pre translate="no">{text}</pre>
      </section>
      <p className={styles.line}>
        <button
          type="button"
          className="control"
          onClick={(event) => copy(event.currentTarget.closest('div')?.querySelector('pre') ?? null)}
        >
          Copy
        </button>
        <span role="status">{said}</span>
      </p>
    </div>
  )
}
