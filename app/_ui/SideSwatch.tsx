import type { Side } from '../../shared/sample.ts'
import styles from './SideSwatch.module.css'
import { SIDES } from './sides.ts'

/** The side's colour and line style, to stand before its name. */
export function SideSwatch({ side }: { readonly side: Side }) {
  const { color, dash } = SIDES[side]
  return (
    <svg className={styles.swatch} viewBox="0 0 32 8" preserveAspectRatio="xMinYMid slice" aria-hidden="true">
      <line x1="0" x2="32" y1="4" y2="4" stroke={color} strokeWidth="5" strokeDasharray={dash ?? undefined} />
    </svg>
  )
}
