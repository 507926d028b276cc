import type { VerdictState } from '../../shared/schemas/now.ts'
import styles from './VerdictMark.module.css'
import { VERDICT_WORDS } from './verdict-words.ts'

/**
 * The verdict as a small picture of its own rule: two limit marks, and where the value with its
 * uncertainty stands to them. Told apart by shape alone; colour comes only with `outside`.
 */
function Picture({ state }: { readonly state: VerdictState }) {
  return (
    <svg className={styles.picture} viewBox="0 0 44 20" aria-hidden="true">
      <path d="M8 3H4v14h4M36 3h4v14h-4" transform={state === 'outside' ? 'translate(-3 0)' : undefined} />
      <Inner state={state} />
    </svg>
  )
}

function Inner({ state }: { readonly state: VerdictState }) {
  switch (state) {
    case 'inside':
      return (
        <>
          <path d="M15 10h14" />
          <circle className={styles.dot} cx="22" cy="10" r="4" />
        </>
      )
    case 'outside':
      return <path className={styles.dot} d="M39 10l4.5-5.5v11z M33.500 10h1" />
    case 'undecided':
      return (
        <>
          <path d="M25 10h18" />
          <path className={styles.open} d="M34 5.500l4.500 4.500-4.500 4.500-4.500-4.500z" />
        </>
      )
    case 'unknown':
      return <path d="M13 10h3m4.500 0h3m4.500 0h3" />
    case 'not-done':
      return null
  }
}

export function VerdictMark({ state }: { readonly state: VerdictState }) {
  return (
    <span className={styles.mark} data-state={state}>
      <Picture state={state} />
      <span className={styles.word}>{VERDICT_WORDS[state]}</span>
    </span>
  )
}
