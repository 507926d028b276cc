import type { Quality } from '../../shared/quality.ts'
import type { DeviceState } from './health-words.ts'
import styles from './SetUp.module.css'

/** A disc that is full, half, broken or empty: the state again, as a shape. */
export function StateMark({ kind }: { readonly kind: DeviceState | Quality | 'unknown' }) {
  return (
    <svg className={styles.mark} viewBox="0 0 16 16" aria-hidden="true" data-kind={kind}>
      {shapeOf(kind)}
    </svg>
  )
}

function shapeOf(kind: DeviceState | Quality | 'unknown') {
  const ring = { cx: 8, cy: 8, r: 6, fill: 'none', stroke: 'currentColor', strokeWidth: 2 }
  switch (kind) {
    case 'answering':
    case 'good':
      return <circle cx={8} cy={8} r={7} fill="currentColor" />
    case 'partly':
    case 'uncertain':
      return (
        <>
          <circle {...ring} />
          <path d="M8 2 A6 6 0 0 0 8 14 Z" fill="currentColor" />
        </>
      )
    case 'lost':
    case 'bad':
      return <path d="M3 3 L13 13 M13 3 L3 13" stroke="currentColor" strokeWidth={3} fill="none" />
    case 'ended':
      return <rect x={3} y={3} width={10} height={10} fill="none" stroke="currentColor" strokeWidth={2} />
    default:
      return <circle {...ring} strokeDasharray="3 3" />
  }
}
