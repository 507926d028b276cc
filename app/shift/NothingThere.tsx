import type { ZoneHistory } from '../../shared/schemas/history.ts'
import { clockText } from '../_plots/time-ticks.ts'
import { useHealth } from '../_stream/store.ts'
import { formatDay } from '../_ui/format.ts'
import { HelpLink } from '../_ui/HelpLink.tsx'
import { nearestWithData } from './_model/nearest.ts'
import type { ShiftTimes } from './_model/use-shift-times.ts'
import styles from './Shift.module.css'

/** What to do where the shift holds nothing: nothing was ever recorded, or only at other times. */
export function NothingThere({ history, times }: { readonly history: ZoneHistory | null; readonly times: ShiftTimes }) {
  const recorder = useHealth()?.recorder
  if (recorder !== undefined && recorder.state !== 'running')
    return (
      <div className={styles.nothing} data-testid="recorder-state" role="status">
        <p>
          <strong>{RECORDER_WORDS[recorder.state]}</strong> {recorder.error?.message ?? recorder.sentence}{' '}
          {recorder.error?.remedy ?? ''}
        </p>
      </div>
    )
  if (history === null || hasAny(history)) return null
  const nearest = nearestWithData(times.shift, history)
  if (nearest === null)
    return (
      <div className={styles.nothing} data-testid="nothing-recorded">
        <p>
          <strong>Nothing of this zone is recorded yet.</strong> Recording begins with the first good sample; the page
          follows by itself. Live shows the present meanwhile.
        </p>
        <HelpLink to="/help/symptoms#nothing-recorded">What to look at first</HelpLink>
      </div>
    )
  return (
    <div className={styles.nothing} data-testid="nothing-in-range">
      <p>
        <strong>Nothing was recorded in this stretch.</strong> This zone has data from{' '}
        {formatDay(history.keptFromMs ?? 0)} {clockText(history.keptFromMs ?? 0, 60_000)} to{' '}
        {formatDay(history.keptToMs ?? 0)} {clockText(history.keptToMs ?? 0, 60_000)}.
      </p>
      <button
        type="button"
        className="control"
        data-testid="show-nearest"
        onClick={() => times.choose({ kind: 'between', ...nearest })}
      >
        Show {formatDay(nearest.fromMs)} {clockText(nearest.fromMs, 60_000)} to {clockText(nearest.toMs, 60_000)}
      </button>
    </div>
  )
}

const RECORDER_WORDS = {
  off: 'Recording is off: this page shows what the store keeps, and nothing is kept. Live goes on.',
  stopped: 'Recording has stopped: what comes now is not kept. Live goes on.',
  'roll-ups-only': 'Only roll-ups are kept now: looking closer will not find every sample.',
} as const

const hasAny = ({ series }: ZoneHistory): boolean => Object.values(series).some(({ n }) => n.some((count) => count > 0))
