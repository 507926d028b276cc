import type { ControlChart } from '../../../shared/schemas/shift.ts'
import { clockText } from '../../_plots/time-ticks.ts'
import styles from './Drifts.module.css'

const WIDTH = 400
const HEIGHT = 60
/** Minutes further apart than this are not joined. */
const HOLE_MS = 150_000

type Track = NonNullable<ControlChart['track']>

/** The statistic of a control chart between its limits, minute by minute. */
export function ChartTrack({ chart, track }: { readonly chart: ControlChart; readonly track: Track }) {
  const { limit, timesMs } = track
  const most = Math.max(limit * 1.25, ...track.value.map(Math.abs))
  const y = (value: number) => (HEIGHT / 2) * (1 - value / most)
  return (
    <svg
      className={styles.track}
      viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
      preserveAspectRatio="none"
      role="img"
      aria-label={`${chart.kind} from ${clockText(timesMs[0] ?? 0, 60_000)} to ${clockText(timesMs.at(-1) ?? 0, 60_000)}: ${chart.sentence}`}
    >
      <path className={styles.zero} d={`M0 ${y(0)}H${WIDTH}`} />
      <path className={styles.limit} d={`M0 ${y(limit)}H${WIDTH}M0 ${y(-limit)}H${WIDTH}`} />
      <path d={trackPath(track, y)} />
    </svg>
  )
}

function trackPath({ timesMs, value }: Track, y: (value: number) => number): string {
  const [from = 0, to = 1] = [timesMs[0], timesMs.at(-1)]
  return timesMs
    .map((t, i) => {
      const isJoined = i > 0 && t - (timesMs[i - 1] ?? 0) <= HOLE_MS
      const x = ((t - from) / Math.max(1, to - from)) * WIDTH
      return `${isJoined ? 'L' : 'M'}${x.toFixed(1)} ${y(value[i] ?? 0).toFixed(1)}`
    })
    .join('')
}
