import type { FlagKind } from '../_model/axis-flags.ts'
import styles from './Bands.module.css'

/** Told apart by shape alone: colour is kept for the sides and for what is outside. */
const SHAPES: Record<FlagKind, { readonly d: string; readonly isFilled: boolean }> = {
  alarm: { d: 'M8 2l6.500 12h-13z', isFilled: true },
  note: { d: 'M3 2h7l3 3v9h-10zM5.500 8h5M5.500 11h5', isFilled: false },
  baseline: { d: 'M4 15V2h8l-2 3 2 3H4', isFilled: true },
  config: { d: 'M8 1.500l6.500 6.500-6.500 6.500-6.500-6.500z', isFilled: false },
  'clock-step': { d: 'M8 2a6 6 0 1 0 .01 0M8 5v3.500l2.500 1.500', isFilled: false },
  recording: { d: 'M2 4h12M2 8h12M2 12h12', isFilled: false },
  device: { d: 'M2.500 5h11v6h-11z', isFilled: false },
}

export function FlagShape({ kind }: { readonly kind: FlagKind }) {
  const { d, isFilled } = SHAPES[kind]
  return (
    <svg className={styles.shape} viewBox="0 0 16 16" aria-hidden="true">
      <path d={d} fill={isFilled ? undefined : 'none'} />
    </svg>
  )
}
