'use client'

import { useHealth } from '../../_stream/store.ts'
import { isLetIn, useSession } from '../access/session.ts'
import { formatClock } from '../format.ts'
import styles from './ConfigRefused.module.css'

/** An edit of the config that was refused: what is wrong where, while the one before keeps running. */
export function ConfigRefused() {
  const refused = useHealth()?.config.refused ?? null
  const session = useSession()
  if (refused === null || !isLetIn(session)) return null
  return (
    <section className={styles.refused} aria-labelledby="config-refused" data-testid="config-refused">
      <h2 id="config-refused">
        The changed config was refused at {formatClock(refused.timeMs)}; the one before keeps running.
      </h2>
      <ul>
        {refused.errors.map((error) => (
          <li key={`${error.code} ${error.place?.line} ${error.place?.column} ${error.message}`}>
            {error.place !== undefined && (
              <strong>
                {error.place.file}, line {error.place.line}, column {error.place.column}:{' '}
              </strong>
            )}
            {error.message} <span className={styles.remedy}>{error.remedy}</span>
          </li>
        ))}
      </ul>
    </section>
  )
}
