import { PRIORITIES, type Priority } from '../../shared/alarms.ts'
import styles from './PriorityMark.module.css'

interface PriorityMarkProps {
  /** null: there is none to tell. */
  readonly priority: Priority | null
  readonly isHollow?: boolean
}

/** Priority as a stack of bars, three for high: told by number, not by colour. Beside it stands the word, or it is hidden. */
export function PriorityMark({ priority, isHollow = false }: PriorityMarkProps) {
  const bars = priority === null ? 0 : PRIORITIES.length - PRIORITIES.indexOf(priority)
  return (
    <svg className={styles.mark} data-hollow={isHollow} viewBox="0 0 20 20" aria-hidden="true">
      {PRIORITIES.map((name, i) => (
        <rect key={name} className={i < bars ? styles.full : styles.empty} x="2" y={14 - 6 * i} width="16" height="4" />
      ))}
    </svg>
  )
}
