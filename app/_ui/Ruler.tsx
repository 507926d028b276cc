import type { Figure } from '../../shared/schemas/now.ts'
import { formatTrimmed } from './format.ts'
import styles from './Ruler.module.css'
import { placeOn, type RulerScale, rulerScale } from './ruler-scale.ts'
import { useUnits } from './units.tsx'

const HEIGHT = 58
const BASE = 26
const percent = (share: number) => `${(share * 100).toFixed(2)}%`

interface RulerProps {
  readonly figure: Figure
  /** The figure cannot be negative: the ruler begins at zero and has one limit mark. */
  readonly isOneSided: boolean
  /** Read out instead of the picture. */
  readonly label: string
}

/** A figure on its scale: limit marks, value, and a bar of ± its expanded uncertainty. */
export function Ruler({ figure, isOneSided, label }: RulerProps) {
  if (figure.limit === null) return null
  const scale = rulerScale(figure.limit, isOneSided)
  return (
    <svg
      className={styles.ruler}
      data-state={figure.verdict.state}
      width="100%"
      height={HEIGHT}
      role="img"
      aria-label={label}
    >
      <Beyond scale={scale} />
      <line className={styles.base} x1="0" x2="100%" y1={BASE} y2={BASE} />
      <Ticks scale={scale} unit={figure.unit} target={figure.limit.target} isOneSided={isOneSided} />
      <Value scale={scale} figure={figure} />
    </svg>
  )
}

/** Where a value would be outside. */
function Beyond({ scale }: { readonly scale: RulerScale }) {
  const shares = scale.marks.map((mark) => placeOn(scale, mark).share)
  const last = shares.at(-1) ?? 1
  const first = shares.length > 1 ? (shares[0] ?? 0) : 0
  return (
    <g className={styles.beyond}>
      {first > 0 && <rect x="0" y={BASE - 14} width={percent(first)} height="28" />}
      <rect x={percent(last)} y={BASE - 14} width={percent(1 - last)} height="28" />
    </g>
  )
}

interface TicksProps {
  readonly scale: RulerScale
  readonly unit: Figure['unit']
  readonly target: number
  readonly isOneSided: boolean
}

function Ticks({ scale, unit, target, isOneSided }: TicksProps) {
  const units = useUnits()
  const start = isOneSided ? 0 : target
  return (
    <g>
      <line
        className={styles.target}
        x1={percent(placeOn(scale, start).share)}
        x2={percent(placeOn(scale, start).share)}
        y1={BASE - 9}
        y2={BASE + 9}
      />
      <text
        className={styles.label}
        x={percent(placeOn(scale, start).share)}
        y={HEIGHT - 3}
        textAnchor={isOneSided ? 'start' : 'middle'}
      >
        {formatTrimmed(start)}
      </text>
      {scale.marks.map((mark) => {
        const x = percent(placeOn(scale, mark).share)
        return (
          <g key={mark}>
            <line className={styles.mark} x1={x} x2={x} y1={BASE - 16} y2={BASE + 16} />
            <text className={styles.label} x={x} y={HEIGHT - 3} textAnchor="middle">
              {mark > 0 && !isOneSided ? '+' : ''}
              {units.plain(mark, unit, true)}
            </text>
          </g>
        )
      })}
    </g>
  )
}

function Value({ scale, figure }: { readonly scale: RulerScale; readonly figure: Figure }) {
  if (figure.value === null) return null
  const { share, isBeyond } = placeOn(scale, figure.value)
  const from = placeOn(scale, figure.value - (figure.U ?? 0)).share
  const to = placeOn(scale, figure.value + (figure.U ?? 0)).share
  const direction = share < 0.5 ? -1 : 1
  return (
    <g className={styles.value}>
      {figure.U !== null && <rect x={percent(from)} y={BASE - 6} width={percent(to - from)} height="12" />}
      {/* A nested svg puts the local drawing at a share of the width. */}
      <svg x={percent(share)} y={BASE} overflow="visible" aria-hidden="true">
        {isBeyond ? (
          <path d={`M${-direction * 12} -11L0 0L${-direction * 12} 11z`} />
        ) : (
          <line x1="0" x2="0" y1="-13" y2="13" />
        )}
      </svg>
    </g>
  )
}
