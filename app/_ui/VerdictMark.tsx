import type { VerdictState } from '../../shared/schemas/now.ts'
import styles from './VerdictMark.module.css'
import { VERDICT_WORDS } from './verdict-words.ts'

export function VerdictMark({ state }: { readonly state: VerdictState }) {
  return (
    <span className={styles.mark} data-state={state}>
      <Picture state={state} />
      <span>{VERDICT_WORDS[state]}</span>
    </span>
  )
}

/**
 * The verdict as a small picture of its own rule: two limit marks, and where the value with its
 * uncertainty stands to them. Told apart by shape alone; colour comes only with `outside`.
 */
function Picture({ state }: { readonly state: VerdictState }) {
  return (
    <svg className={styles.picture} viewBox="0 0 50 20" aria-hidden="true">
      {/* Beyond the right mark there is room for what is outside; the others stand in the middle. */}
      <g transform={state === 'outside' ? undefined : 'translate(7 0)'}>
        <path d="M7 3H3v14h4M29 3h4v14h-4" />
        <Inner state={state} />
      </g>
    </svg>
  )
}

function Inner({ state }: { readonly state: VerdictState }) {
  switch (state) {
    case 'inside':
      return (
        <>
          <path d="M10 10h16" />
          <circle className={styles.filled} cx="18" cy="10" r="4.5" />
        </>
      )
    case 'outside':
      return <path className={styles.filled} d="M38 4l10 6-10 6z" />
    case 'undecided':
      return (
        <>
          <path d="M24 10h18" />
          <path className={styles.open} d="M33 4.500l5.500 5.500-5.500 5.500-5.500-5.500z" />
        </>
      )
    case 'unknown':
      return <path d="M10 10h3.500m3 0h3.500m3 0h3.500" />
    case 'not-done':
      return null
  }
}
