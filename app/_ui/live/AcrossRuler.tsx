import { conversionOf, formatTrimmed } from '../format.ts'
import { useUnits } from '../units.tsx'
import styles from './Beam.module.css'
import { type BeamLayout, niceAtLeast, xOf } from './beam-scale.ts'

/** About this far apart, so that labels never touch. */
const LABEL_EVERY_PX = 64
const LEAST_GAP_STEPS = 0.6

interface AcrossRulerProps {
  readonly layout: BeamLayout
  readonly cellDistanceM: number
  readonly isFlipped: boolean
}

/** The ruler across the roller, from cell to cell; zero in the middle, both sides counted outwards. */
export function AcrossRuler({ layout, cellDistanceM, isFlipped }: AcrossRulerProps) {
  const units = useUnits()
  const { unit, difference } = conversionOf('m', units.choice)
  const shownDistance = difference(cellDistanceM)
  const pixels = layout.rightX - layout.leftX
  const step = niceAtLeast((shownDistance * LABEL_EVERY_PX) / pixels)
  const half = shownDistance / 2
  // The ends are always told; a round mark that comes too near to one of them is not.
  const perSide = Math.max(0, Math.floor(half / step - LEAST_GAP_STEPS))
  const inner = Array.from({ length: perSide * 2 + 1 }, (_, i) => (i - perSide) * step)
  const marks = [-half, ...inner, half]
  const y = layout.rulerY
  return (
    <g className={styles.across}>
      <path d={`M${layout.leftX} ${y - 9}V${y}H${layout.rightX}V${y - 9}`} />
      {marks.map((mark) => {
        const x = xOf(layout, shownDistance, mark, isFlipped)
        return (
          <g key={mark}>
            <path d={`M${x} ${y}v${Math.abs(mark) === half ? 9 : 6}`} />
            <text x={x} y={y + 21} textAnchor="middle">
              {formatTrimmed(Math.abs(mark))}
              {mark === 0 ? ` ${unit}` : ''}
            </text>
          </g>
        )
      })}
    </g>
  )
}
