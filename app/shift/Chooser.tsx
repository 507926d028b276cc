import { useState } from 'react'
import { clockText } from '../_plots/time-ticks.ts'
import { formatDay, formatDuration, NBSP } from '../_ui/format.ts'
import { useRememberedText } from '../_ui/remembered.ts'
import {
  follows,
  LAST_HOURS,
  minutesOf,
  type ShiftChoice,
  type ShiftPattern,
  type Span,
  shiftAt,
  shiftBefore,
} from './_model/shift-choice.ts'
import type { ShiftTimes } from './_model/use-shift-times.ts'
import styles from './Shift.module.css'

const DEFAULT_START = '06:00'
const DEFAULT_MINUTES = 360
const PATTERN_HOURS = ['8', '12', '24'] as const

/** Which shift: the last hours, the one by the clock, or any stretch. */
export function Chooser({ times }: { readonly times: ShiftTimes }) {
  const { choice, shift, choose } = times
  const { pattern, ...starts } = usePattern()
  const present = shiftAt(pattern, shift.toMs)
  const isThis = choice.kind === 'since' && choice.fromMs === present.fromMs
  const goBefore = () => {
    const { fromMs, toMs } = shiftBefore(pattern, follows(choice) ? shift.toMs : shift.fromMs + 1)
    choose({ kind: 'between', fromMs, toMs })
  }
  return (
    <div className={`${styles.chooser} not-printed`}>
      <fieldset className={styles.choices}>
        <legend className="heard-only">Which shift</legend>
        {LAST_HOURS.map((hours) => (
          <button
            key={hours}
            type="button"
            className="control"
            aria-pressed={choice.kind === 'last' && choice.hours === hours}
            onClick={() => choose({ kind: 'last', hours })}
          >
            Last {hours}
            {NBSP}h
          </button>
        ))}
        <button
          type="button"
          className="control"
          aria-pressed={isThis}
          onClick={() => choose({ kind: 'since', fromMs: present.fromMs })}
        >
          This shift
        </button>
        <button type="button" className="control" onClick={goBefore}>
          Shift before
        </button>
        <FollowButton choice={choice} shift={shift} choose={choose} />
      </fieldset>
      <details>
        <summary>Other times</summary>
        <div className={styles.fields}>
          <OtherTimes key={`${choice.kind}`} shift={shift} choose={choose} />
          <PatternFields {...starts} />
        </div>
      </details>
    </div>
  )
}

function FollowButton({
  choice,
  shift,
  choose,
}: {
  readonly choice: ShiftChoice
  readonly shift: Span
  readonly choose: ShiftTimes['choose']
}) {
  const isFollowing = follows(choice)
  return (
    <button
      type="button"
      className="control"
      aria-pressed={isFollowing}
      data-testid="follow"
      onClick={() => choose(isFollowing ? { kind: 'between', ...shift } : { kind: 'since', fromMs: shift.fromMs })}
    >
      Follow live
    </button>
  )
}

interface PatternText {
  readonly start: string
  readonly hours: string
  readonly setStart: (text: string) => void
  readonly setHours: (text: string) => void
}

/** When shifts change here, remembered by this browser. */
export function usePattern(): PatternText & { readonly pattern: ShiftPattern } {
  const [start, setStart] = useRememberedText('evenpull.shift.start', DEFAULT_START)
  const [hours, setHours] = useRememberedText('evenpull.shift.hours', PATTERN_HOURS[0])
  const startMinutes = minutesOf(start) ?? DEFAULT_MINUTES
  const pattern = { startMinutes, hours: PATTERN_HOURS.some((h) => h === hours) ? Number(hours) : 8 }
  return { pattern, start, hours, setStart, setHours }
}

function PatternFields({ start, hours, setStart, setHours }: PatternText) {
  return (
    <div className={styles.row}>
      <label>
        A shift starts at
        <input type="time" value={start} onChange={(event) => event.target.value && setStart(event.target.value)} />
      </label>
      <label>
        and lasts
        <select value={hours} onChange={(event) => setHours(event.target.value)}>
          {PATTERN_HOURS.map((h) => (
            <option key={h} value={h}>
              {h} h
            </option>
          ))}
        </select>
      </label>
    </div>
  )
}

function OtherTimes({ shift, choose }: { readonly shift: Span; readonly choose: ShiftTimes['choose'] }) {
  const [from, setFrom] = useState(() => fieldOf(shift.fromMs))
  const [to, setTo] = useState(() => fieldOf(shift.toMs))
  const [fault, setFault] = useState<string | null>(null)
  const show = () => {
    const [fromMs, toMs] = [new Date(from).getTime(), new Date(to).getTime()]
    const isGood = toMs - fromMs >= 1000
    setFault(isGood ? null : 'The end must come after the begin: give both as day and time.')
    if (isGood) choose({ kind: 'between', fromMs, toMs })
  }
  return (
    <form
      className={styles.row}
      onSubmit={(event) => {
        event.preventDefault()
        show()
      }}
    >
      <label>
        From
        <input
          type="datetime-local"
          step={1}
          value={from}
          onChange={(event) => setFrom(event.target.value)}
          data-testid="from"
        />
      </label>
      <label>
        to
        <input
          type="datetime-local"
          step={1}
          value={to}
          onChange={(event) => setTo(event.target.value)}
          data-testid="to"
        />
      </label>
      <button type="submit" className="control">
        Show
      </button>
      {fault !== null && (
        <p className={styles.fault} role="alert">
          {fault}
        </p>
      )}
    </form>
  )
}

/** Local time as a field of day and time takes it. */
const fieldOf = (epochMs: number): string => `${formatDay(epochMs)}T${clockText(epochMs, 1000)}`

/** The stretch in words, for the head of the page. */
export function shiftInWords({ choice, shift }: ShiftTimes): string {
  const isOneDay = formatDay(shift.fromMs) === formatDay(shift.toMs)
  const end = isOneDay ? clockText(shift.toMs, 60_000) : `${formatDay(shift.toMs)} ${clockText(shift.toMs, 60_000)}`
  const length = formatDuration(Math.round((shift.toMs - shift.fromMs) / 60_000) * 60)
  return `${formatDay(shift.fromMs)} ${clockText(shift.fromMs, 60_000)} to ${follows(choice) ? `now (${end})` : end}, ${length}`
}
