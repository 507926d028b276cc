'use client'

import Link from 'next/link'
import { useRouter } from 'next/navigation'
import { useEffect, useRef } from 'react'
import { setQuery } from '../query.ts'
import { useRememberedFlag } from '../remembered.ts'
import { chooseTheme } from '../theme.ts'
import { FLIP_KEY, KEYS_KEY } from '../view-choices.ts'
import { useZoneChoice } from '../zone-choice.ts'
import styles from './Shortcuts.module.css'

const LIST = [
  ['1 to 9', 'Zone of that place in the list'],
  ['l', 'Live'],
  ['g', 'Geometry'],
  ['h', 'Shift'],
  ['s', 'Set-up'],
  ['a', 'Trail: what was done, when and by whom'],
  ['f', 'Flip the view: the other side on the left, or seen from the other end'],
  ['t', 'Light or dark'],
  ['?', 'This list, and the way to Help'],
] as const

/** True while the reader types: a key then belongs to the field. */
function isTyping(target: EventTarget | null): boolean {
  return target instanceof HTMLElement && target.closest('input, select, textarea, [contenteditable]') !== null
}

const DIALOG_ID = 'keys'

/** Opens the list. Apart from it, because it stands in a sheet that closes when the list opens. */
export function ShortcutsButton() {
  const open = () => {
    const dialog = document.getElementById(DIALOG_ID)
    if (dialog instanceof HTMLDialogElement) dialog.showModal()
  }
  return (
    <button type="button" className="control" aria-label="Keys" onClick={open}>
      ?
    </button>
  )
}

/** The keys of one letter, their list, and the switch that turns them off (WCAG 2.2, 2.1.4). */
export function Shortcuts() {
  const dialog = useRef<HTMLDialogElement>(null)
  const [areOn, setOn] = useRememberedFlag(KEYS_KEY, true)
  const [isFlipped, setFlipped] = useRememberedFlag(FLIP_KEY, false)
  const { zones } = useZoneChoice()
  const router = useRouter()
  useEffect(() => {
    if (!areOn) return
    const press = (event: KeyboardEvent) => {
      // What has the focus and took the key has it alone: `a` on the traces is a cursor, no way to another page.
      if (event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey || isTyping(event.target)) return
      const zone = zones[Number(event.key) - 1]
      if (zone !== undefined) setQuery('zone', zone.id, 'push')
      else if (event.key === 'l') router.push('/')
      else if (event.key === 'g') router.push('/geometry')
      else if (event.key === 'h') router.push('/shift')
      else if (event.key === 's') router.push('/set-up')
      else if (event.key === 'a') router.push('/trail')
      else if (event.key === 'f') setFlipped(!isFlipped)
      else if (event.key === 't') chooseTheme(document.documentElement.dataset.theme === 'dark' ? 'light' : 'dark')
      else if (event.key === '?') dialog.current?.showModal()
    }
    addEventListener('keydown', press)
    return () => removeEventListener('keydown', press)
  }, [areOn, zones, router, isFlipped, setFlipped])
  return (
    <dialog ref={dialog} id={DIALOG_ID} className={styles.dialog} aria-labelledby="keys-title">
      <h2 id="keys-title">Keys</h2>
      <dl className={styles.list}>
        {LIST.map(([key, what]) => (
          <div key={key}>
            <dt>
              <kbd>{key}</kbd>
            </dt>
            <dd>{what}</dd>
          </div>
        ))}
      </dl>
      <label className={styles.switch}>
        <input type="checkbox" checked={areOn} onChange={(event) => setOn(event.target.checked)} />
        Keys of one letter are on
      </label>
      <form method="dialog" className={styles.ways}>
        <Link className="control" href="/help" prefetch={false} onClick={() => dialog.current?.close()}>
          Help
        </Link>
        <button type="submit" className="control">
          Close
        </button>
      </form>
    </dialog>
  )
}
