import type { SignalSpectrumTold } from '../../../../shared/schemas/spectrum.ts'
import { conversionOf } from '../../format.ts'
import { useUnits } from '../../units.tsx'
import { useWidth } from '../use-width.ts'
import { type Axis, BOTTOM, HEIGHT, LEFT, RIGHT, type SpectrumFrame, spectrumFrame, TOP } from './frame.ts'
import type { LineRow } from './line-rows.ts'
import styles from './Spectrum.module.css'
import { SIGNALS, type ToldSignal } from './signals.ts'

interface PlotProps {
  readonly told: readonly ToldSignal[]
  readonly rows: readonly LineRow[]
  readonly axis: Axis
  readonly turnHz: number | null
  /** Words where there is nothing to draw. */
  readonly empty: string
}

/** Amplitude over frequency, the lines numbered as in the table below; drawn as high when there is nothing to draw. */
export function SpectrumPlot({ told, rows, axis, turnHz, empty }: PlotProps) {
  const [ref, measured] = useWidth()
  const { choice } = useUnits()
  const width = Math.max(260, measured ?? 600)
  const force = conversionOf('N', choice)
  const isTurns = axis === 'turns' && turnHz !== null
  return (
    <div ref={ref} className={styles.stage} data-testid="spectrum-plot">
      {told.length === 0 ? (
        <p className={styles.nothing}>{empty}</p>
      ) : (
        <Drawing
          told={told}
          rows={rows}
          frame={spectrumFrame(told, width, force.difference(1), isTurns ? turnHz : null)}
          xTitle={isTurns ? 'turns of the measuring roller' : 'frequency, Hz'}
          yTitle={`amplitude, ${force.unit}`}
        />
      )}
    </div>
  )
}

function Drawing(props: {
  readonly told: readonly ToldSignal[]
  readonly rows: readonly LineRow[]
  readonly frame: SpectrumFrame
  readonly xTitle: string
  readonly yTitle: string
}) {
  const { told, rows, frame, xTitle, yTitle } = props
  const summary = `Amplitude over frequency: ${rows.length} ${rows.length === 1 ? 'line' : 'lines'}, told in the table that follows.`
  return (
    <svg className={styles.plot} width={frame.width} height={HEIGHT} role="img" aria-label={summary}>
      <Axes frame={frame} xTitle={xTitle} yTitle={yTitle} />
      {told.map(({ signal, view }) => (
        <g key={signal} stroke={SIGNALS[signal].color} fill="none">
          <path className={styles.floor} d={pathOf(view, view.floor, frame)} />
          <path
            className={styles.curve}
            d={pathOf(view, view.amplitude, frame)}
            strokeDasharray={SIGNALS[signal].dash ?? undefined}
          />
        </g>
      ))}
      <Flags rows={rows} frame={frame} />
    </svg>
  )
}

function Axes({
  frame,
  xTitle,
  yTitle,
}: {
  readonly frame: SpectrumFrame
  readonly xTitle: string
  readonly yTitle: string
}) {
  const { width, xTicks, yTicks } = frame
  return (
    <g className={styles.axes}>
      <rect
        className={styles.slow}
        x={LEFT}
        y={TOP}
        width={frame.x(frame.lowestHz) - LEFT}
        height={HEIGHT - TOP - BOTTOM}
      />
      {yTicks.map(({ newtons, text }) => (
        <g key={text}>
          <line x1={LEFT} x2={width - RIGHT} y1={frame.y(newtons)} y2={frame.y(newtons)} />
          <text x={LEFT - 8} y={frame.y(newtons) + 4} textAnchor="end">
            {text}
          </text>
        </g>
      ))}
      {xTicks.map(({ hz, text }) => (
        <g key={text}>
          <line x1={frame.x(hz)} x2={frame.x(hz)} y1={HEIGHT - BOTTOM} y2={HEIGHT - BOTTOM + 6} />
          <text x={frame.x(hz)} y={HEIGHT - BOTTOM + 20} textAnchor="middle">
            {text}
          </text>
        </g>
      ))}
      <text x={width - RIGHT} y={HEIGHT - 6} textAnchor="end">
        {xTitle}
      </text>
      <text x={8} y={16}>
        {yTitle}
      </text>
    </g>
  )
}

/** From the lowest frequency on that is told apart from a drift. */
function pathOf(view: SignalSpectrumTold, values: readonly number[], frame: SpectrumFrame): string {
  const points = values.flatMap((newtons, i) => {
    const hz = view.startHz + i * view.stepHz
    return hz < view.lowestHz || !(newtons > 0) ? [] : [`${frame.x(hz).toFixed(1)} ${frame.y(newtons).toFixed(1)}`]
  })
  return points.length === 0 ? '' : `M${points.join('L')}`
}

const FLAG_ROOM = 18
const FLAG_LEVELS = [TOP - 26, TOP - 8] as const
/** About as wide as a letter is, px. */
const LETTER = 6.4

/** A number over each line; where they crowd, on a second level, and where that is full, left to the table. */
function Flags({ rows, frame }: { readonly rows: readonly LineRow[]; readonly frame: SpectrumFrame }) {
  const ends: number[] = FLAG_LEVELS.map(() => Number.NEGATIVE_INFINITY)
  const placed = rows.flatMap((row, i) => {
    const x = frame.x(row.frequencyHz)
    const level = ends.findIndex((end) => x - end >= FLAG_ROOM)
    const y = FLAG_LEVELS[level]
    if (y === undefined) return []
    ends[level] = x
    const next = rows[i + 1]
    const end = next === undefined ? frame.width - RIGHT : frame.x(next.frequencyHz) - FLAG_ROOM
    return [{ row, x, y, words: wordsWithin(row, end - x) }]
  })
  return (
    <g className={styles.flags}>
      {placed.map(({ row, x, y, words }) => (
        <g key={row.number}>
          <line x1={x} x2={x} y1={y + 4} y2={topOf(row, frame) - 4} />
          <text x={x} y={y} textAnchor="middle">
            {row.number}
          </text>
          {words !== null && (
            <text className={styles.sources} x={x + 12} y={y}>
              {words}
            </text>
          )}
        </g>
      ))}
    </g>
  )
}

/** All that could make a line, beside its number where it fits; never some of it. */
function wordsWithin({ candidates }: LineRow, room: number): string | null {
  const words = candidates.map((candidate) => candidate.words).join(' or ')
  return words !== '' && 12 + words.length * LETTER <= room ? words : null
}

/** Where the highest of a row's lines ends; at the axis for one whose height is not told. */
function topOf({ lines }: LineRow, frame: SpectrumFrame): number {
  const amplitudes = Object.values(lines).flatMap(({ amplitude }) => (amplitude === null ? [] : [amplitude]))
  return amplitudes.length === 0 ? HEIGHT - BOTTOM : frame.y(Math.max(...amplitudes))
}
