import type { ZoneNow } from '../../../shared/schemas/now.ts'
import { formatDuration } from '../format.ts'
import styles from './SteadyLine.module.css'

const WORDS = { steady: 'Steady', 'not-steady': 'Not steady', assumed: 'Taken as steady' } as const

/** Whether the figures count: statistics are taken only while the zone runs steadily. */
export function SteadyLine({ fresh }: { readonly fresh: ZoneNow | null }) {
  if (fresh === null) return <p className={styles.steady}>The gateway’s verdicts are not here.</p>
  const { state, sentence, forSeconds } = fresh.steady
  return (
    <p className={styles.steady} data-testid="steady" data-state={state}>
      <strong>{WORDS[state]}</strong> for {formatDuration(forSeconds)}. {sentence}
    </p>
  )
}
