import type { ReactNode } from 'react'
import type { Side } from '../../../shared/sample.ts'
import type { CalibrationResult } from '../../../shared/schemas/compute-calibration.ts'
import { formatTrimmed } from '../../_ui/format.ts'
import { useWidth } from '../../_ui/live/use-width.ts'
import { roundTicks } from '../../_ui/round-ticks.ts'
import { SIDES } from '../../_ui/sides.ts'
import { useUnits } from '../../_ui/units.tsx'
import styles from './Calibration.module.css'

/** A captured reading with its known force. */
interface PlotPoint {
  readonly id: number
  readonly force: number
  readonly reading: number
  readonly direction: 'up' | 'down'
  readonly used: boolean
}

export interface PlotSide {
  readonly side: Side
  readonly unit: string
  readonly points: readonly PlotPoint[]
  readonly fit: CalibrationResult | null
}

const LEFT = 58
const RIGHT = 14
const TOP = 10
const BOTTOM = 40

interface Frame {
  readonly x: (force: number) => number
  readonly y: (value: number) => number
  /** Lowest and highest force shown. */
  readonly xEnds: readonly [number, number]
  readonly xTicks: readonly number[]
  readonly yTicks: readonly number[]
  readonly width: number
  readonly height: number
}

/** Readings over force with the line of each side, and under it what the line leaves over. */
export function FitPlot({ sides }: { readonly sides: readonly PlotSide[] }) {
  const [ref, measured] = useWidth()
  const width = Math.max(280, measured ?? 600)
  const all = sides.flatMap(({ points }) => points)
  const forces = all.map(({ force }) => force)
  const residuals = sides.flatMap(residualsOf)
  const worst = Math.max(0.1, ...residuals.map(({ percent }) => Math.abs(percent)))
  const fitFrame = frameOf(
    width,
    260,
    forces,
    all.map(({ reading }) => reading),
  )
  const residualFrame = frameOf(width, 190, forces, [-1.15 * worst, 1.15 * worst])
  const unit = sides[0]?.unit ?? ''
  return (
    <div ref={ref} className={styles.plots} data-testid="fit-plots">
      <figure>
        <figcaption>Reading in {unit} over known force along the arrow, with the least-squares line</figcaption>
        <Chart frame={fitFrame} name={`Reading in ${unit} over known force`}>
          {sides.map(({ side, fit, points }) => (
            <g key={side}>
              {fit?.line != null && <FitLine frame={fitFrame} side={side} line={fit.line} />}
              {points.map((p) => (
                <PointMark key={p.id} x={fitFrame.x(p.force)} y={fitFrame.y(p.reading)} side={side} point={p} />
              ))}
            </g>
          ))}
        </Chart>
      </figure>
      <figure>
        <figcaption>Residual: reading less line, % of span</figcaption>
        <Chart frame={residualFrame} name="Residual in % of span over known force">
          <line
            className={styles.zeroLine}
            x1={LEFT}
            x2={width - RIGHT}
            y1={residualFrame.y(0)}
            y2={residualFrame.y(0)}
          />
          {residuals.map(({ side, point, percent }) => (
            <PointMark
              key={`${side} ${point.id}`}
              x={residualFrame.x(point.force)}
              y={residualFrame.y(percent)}
              side={side}
              point={point}
            />
          ))}
        </Chart>
      </figure>
      <ul className={styles.key}>
        {sides.map(({ side }) => (
          <li key={side}>
            <svg viewBox="0 0 32 12" aria-hidden="true">
              <line
                x1="0"
                x2="32"
                y1="6"
                y2="6"
                stroke={SIDES[side].color}
                strokeWidth="3"
                strokeDasharray={SIDES[side].dash ?? undefined}
              />
            </svg>
            {SIDES[side].title}
          </li>
        ))}
        <li>▲ from below</li>
        <li>▼ from above</li>
        <li>hollow: left out</li>
      </ul>
    </div>
  )
}

function residualsOf({ side, points, fit }: PlotSide) {
  const line = fit?.line
  const spanN = fit?.spanN
  if (line == null || spanN == null) return []
  const spanReading = Math.abs(line.slope) * spanN
  return points
    .filter(({ used }) => used)
    .map((point) => ({
      side,
      point,
      percent: (100 * (point.reading - line.zero - line.slope * point.force)) / spanReading,
    }))
}

function frameOf(width: number, height: number, forces: readonly number[], values: readonly number[]): Frame {
  const [fromX, toX] = widened(forces)
  const [fromY, toY] = widened(values)
  return {
    width,
    height,
    x: (force) => LEFT + ((force - fromX) / (toX - fromX)) * (width - LEFT - RIGHT),
    y: (value) => height - BOTTOM - ((value - fromY) / (toY - fromY)) * (height - TOP - BOTTOM),
    xEnds: [fromX, toX],
    xTicks: roundTicks(fromX, toX, width < 500 ? 4 : 6),
    yTicks: roundTicks(fromY, toY, 5),
  }
}

/** Lowest and highest with a little room; never the same. */
function widened(values: readonly number[]): readonly [number, number] {
  const low = values.length === 0 ? 0 : Math.min(...values)
  const high = values.length === 0 ? 1 : Math.max(...values)
  const room = high > low ? 0.06 * (high - low) : Math.max(1, Math.abs(high)) * 0.5
  return [low - room, high + room]
}

function Chart({
  frame,
  name,
  children,
}: {
  readonly frame: Frame
  readonly name: string
  readonly children: ReactNode
}) {
  const { choice, plain } = useUnits()
  const { width, height } = frame
  return (
    <svg
      className={styles.chart}
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      role="img"
      aria-label={name}
    >
      {frame.yTicks.map((tick) => (
        <g key={tick}>
          <line className={styles.grid} x1={LEFT} x2={width - RIGHT} y1={frame.y(tick)} y2={frame.y(tick)} />
          <text x={LEFT - 6} y={frame.y(tick)} dy="0.35em" textAnchor="end">
            {formatTrimmed(tick)}
          </text>
        </g>
      ))}
      {frame.xTicks.map((tick) => (
        <g key={tick}>
          <line className={styles.grid} x1={frame.x(tick)} x2={frame.x(tick)} y1={TOP} y2={height - BOTTOM} />
          <text x={frame.x(tick)} y={height - BOTTOM + 16} textAnchor="middle">
            {plain(tick, 'N', true).replace(/\s*\S+$/, '')}
          </text>
        </g>
      ))}
      <text x={width - RIGHT} y={height - 6} textAnchor="end">
        force, {choice.force}
      </text>
      {children}
    </svg>
  )
}

function FitLine({
  frame,
  side,
  line,
}: {
  readonly frame: Frame
  readonly side: Side
  readonly line: NonNullable<CalibrationResult['line']>
}) {
  const [first, last] = frame.xEnds
  const at = (force: number) => frame.y(line.zero + line.slope * force)
  return (
    <line
      x1={frame.x(first)}
      y1={at(first)}
      x2={frame.x(last)}
      y2={at(last)}
      stroke={SIDES[side].color}
      strokeWidth="2"
      strokeDasharray={SIDES[side].dash ?? undefined}
    />
  )
}

function PointMark({
  x,
  y,
  side,
  point,
}: {
  readonly x: number
  readonly y: number
  readonly side: Side
  readonly point: PlotPoint
}) {
  const towards = point.direction === 'up' ? -1 : 1
  return (
    <path
      d={`M${x - 5} ${y - 4 * towards}h10l-5 ${9 * towards}z`}
      fill={point.used ? SIDES[side].color : 'none'}
      stroke={SIDES[side].color}
      strokeWidth="1.5"
    />
  )
}
