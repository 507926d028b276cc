import type { ZoneNow } from '../../../shared/schemas/now.ts'
import type { ZoneInfo } from '../../../shared/schemas/zones.ts'
import { formatDuration } from '../format.ts'
import { useUnits } from '../units.tsx'
import { limitInWords } from '../verdict-words.ts'
import styles from './BeamKey.module.css'
import { SHIVER_MS } from './end-reading.ts'
import { isCompared } from './judged.ts'

/** What the marks of the beam mean, each with its own figure. */
export function BeamKey({ zone, fresh }: { readonly zone: ZoneInfo; readonly fresh: ZoneNow | null }) {
  const units = useUnits()
  const hasTwo = !('single' in zone.capacityN)
  const imbalance = fresh?.imbalance
  const limit = imbalance === undefined ? null : limitInWords(imbalance, units, false)
  return (
    <ul className={styles.key}>
      <li>
        <svg viewBox="0 0 22 16" aria-hidden="true">
          <rect className={styles.shiver} x="2" y="3" width="18" height="10" />
        </svg>
        lowest to highest of the last {formatDuration(SHIVER_MS / 1000)}
      </li>
      {isCompared(zone) && (
        <li>
          <svg viewBox="0 0 22 16" aria-hidden="true">
            <rect className={styles.ghost} x="1" y="3" width="20" height="10" />
            <path strokeDasharray="4 3" d="M1 8h20" />
          </svg>
          expected from the geometry, with its uncertainty
        </li>
      )}
      {hasTwo && (
        <li>
          <svg viewBox="0 0 22 16" aria-hidden="true">
            <path d="M14 2H8v12h6" />
          </svg>
          where an end stands for a side difference inside {limit ?? 'its limit'}
        </li>
      )}
      {zone.webWidthM !== null && zone.cellDistanceM !== null && (
        <li>
          <svg viewBox="0 0 22 16" aria-hidden="true">
            <rect className={styles.web} x="1" y="1" width="20" height="14" />
          </svg>
          where the web should run, {units.plain(zone.webWidthM, 'm', true)} wide
        </li>
      )}
      {hasTwo && zone.cellDistanceM !== null && (
        <li>
          <svg viewBox="0 0 22 16" aria-hidden="true">
            <path className={styles.pull} d="M11 14L18 2H4z" />
          </svg>
          line of pull, the bar its uncertainty
        </li>
      )}
      {hasTwo && zone.cellDistanceM === null && (
        <li>No line of pull: the config gives no distance between the cells (cell_distance_m).</li>
      )}
    </ul>
  )
}
