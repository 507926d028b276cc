import type { ZoneNow } from '../../../shared/schemas/now.ts'
import styles from './SteadyLine.module.css'

/** Whether the figures count: statistics are taken only while the zone runs steadily. */
export function SteadyLine({ fresh }: { readonly fresh: ZoneNow | null }) {
  if (fresh === null) return <p className={styles.steady}>The gateway’s verdicts are not here.</p>
  const { state, sentence } = fresh.steady
  return (
    <p className={styles.steady} data-testid="steady" data-state={state}>
      {sentence}
    </p>
  )
}
