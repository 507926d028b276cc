import type { Stretch } from '../../../lib/summary/steady.ts'
import type { HistorySeries, ZoneHistory } from '../../../shared/schemas/history.ts'
import type { ZoneInfo } from '../../../shared/schemas/zones.ts'
import { clockText, localOffsetMs, tickText, timeStep, timeTicks } from '../../_plots/time-ticks.ts'
import { formatTrimmed } from '../../_ui/format.ts'
import { useUnits } from '../../_ui/units.tsx'
import { bandsOf } from '../_model/bands.ts'
import { type HistoryRows, rowsOf } from '../_model/history-rows.ts'
import { slackBelowN } from '../_model/slack.ts'
import { meanPath, robustExtent, within } from './mean-path.ts'
import styles from './Summary.module.css'

const WIDTH = 700
const HEIGHT = 86
const LEFT = 46
const MARKS = 8
const ON_PAPER: readonly string[] = ['sides', 'residual', 'imbalance']
const TONES = { drive: '#0072b2', operator: '#d55e00', neutral: '#15181b' } as const

interface SummaryPlotProps {
  readonly history: ZoneHistory
  readonly zone: ZoneInfo
  readonly fromMs: number
  readonly toMs: number
  /** Steady running: what the scale of a share goes by. */
  readonly steady: readonly Stretch[]
}

/** The means of the shift as lines that print sharp: both sides, the residual, the side difference. */
export function SummaryPlot({ history, zone, fromMs, toMs, steady }: SummaryPlotProps) {
  const { choice } = useUnits()
  const bands = bandsOf(zone, choice).filter(({ key }) => ON_PAPER.includes(key))
  const rows = rowsOf(history, slackBelowN(zone))
  const step = timeStep(toMs - fromMs, MARKS)
  const x = (t: number) => LEFT + ((t - fromMs) / (toMs - fromMs)) * (WIDTH - LEFT)
  return (
    <div className={styles.plots}>
      {bands.map((band) => {
        const lines = band.lines.map((line) => ({
          ...line,
          values: meansOf(rows, line.series).map((v) => (v === null ? null : v * line.map.factor + line.map.offset)),
        }))
        const isShare = band.unit === '%'
        const scaled = lines.flatMap(({ values }) => (isShare ? within(history, values, steady) : values))
        const extent = robustExtent(scaled)
        if (extent === null) return null
        const y = (v: number) => 14 + (1 - (v - extent.lo) / (extent.hi - extent.lo)) * (HEIGHT - 18)
        return (
          <svg
            key={band.key}
            viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
            role="img"
            aria-label={`${band.title} from ${clockText(fromMs, 60_000)} to ${clockText(toMs, 60_000)}, ${formatTrimmed(extent.lo)} to ${formatTrimmed(extent.hi)} ${band.unit}`}
          >
            <text x={LEFT} y={9}>
              {band.title}, {band.unit}
              {band.lines.length > 1 && ': drive side solid, operator side dashed'}
            </text>
            {[extent.lo, extent.hi].map((v) => (
              <text key={v} x={LEFT - 4} y={y(v) + (v === extent.hi ? 6 : 0)} textAnchor="end">
                {formatTrimmed(v)}
              </text>
            ))}
            <rect x={LEFT} y={14} width={WIDTH - LEFT} height={HEIGHT - 18} />
            <svg
              aria-hidden="true"
              x={LEFT}
              y={14}
              width={WIDTH - LEFT}
              height={HEIGHT - 18}
              viewBox={`${LEFT} 14 ${WIDTH - LEFT} ${HEIGHT - 18}`}
            >
              {lines.map(({ series, tone, isDashed, values }) => (
                <path
                  key={series}
                  d={meanPath(history, values, x, y)}
                  stroke={TONES[tone]}
                  strokeDasharray={isDashed ? '5 3' : undefined}
                />
              ))}
            </svg>
          </svg>
        )
      })}
      <svg viewBox={`0 0 ${WIDTH} 14`} aria-hidden="true">
        {timeTicks(fromMs, toMs, step, localOffsetMs(fromMs)).map((t) => (
          <text key={t} x={x(t)} y={10} textAnchor="middle">
            {tickText(t, step)}
          </text>
        ))}
      </svg>
    </div>
  )
}

const meansOf = (rows: HistoryRows, series: HistorySeries): readonly (number | null)[] =>
  Array.from(rows.lines.get(series)?.mean ?? [], (v) => (Number.isNaN(v) ? null : v))
