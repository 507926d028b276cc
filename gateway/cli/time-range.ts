import { given } from '../config/words.ts'
import { parseRecordedTime } from '../transports/replay/recorded-time.ts'
import type { FlagSpec, Flags } from './command.ts'
import { textFlag, usage } from './options.ts'

export interface TimeRange {
  readonly fromMs: number
  readonly toMs: number
}

const UNIT_MS = { s: 1000, min: 60_000, h: 3_600_000, d: 86_400_000 } as const
const LAST = /^(\d+(?:\.\d+)?)(s|min|h|d)$/

/** Flags of a command that works on a range of time. */
export const RANGE_FLAGS: Readonly<Record<'from' | 'to' | 'last', FlagSpec>> = {
  from: { type: 'string', value: 'TIME', help: 'begin, ISO 8601: 2026-03-02T06:00+01:00; without a zone it is UTC' },
  to: { type: 'string', value: 'TIME', help: 'end, the same way (now)' },
  last: { type: 'string', value: 'SPAN', help: 'instead of --from: so long before the end: 30min, 8h, 2d' },
}

/** What `--from`, `--to` and `--last` ask for. Throws EVP_USAGE. */
export function rangeOf(flags: Flags, nowMs: number): TimeRange {
  const toMs = timeFlag(flags, 'to') ?? nowMs
  const from = timeFlag(flags, 'from')
  const last = spanFlag(flags)
  if ((from === undefined) === (last === undefined)) throw usage('expected one of --from and --last')
  // A span that goes back before all recording means everything.
  const fromMs = from ?? Math.max(0, toMs - (last ?? 0))
  if (fromMs >= toMs) throw usage(`the range ends before it begins: ${isoMinute(fromMs)} to ${isoMinute(toMs)}`)
  return { fromMs, toMs }
}

const isoMinute = (ms: number) => new Date(ms).toISOString().slice(0, 16)

function timeFlag(flags: Flags, name: 'from' | 'to'): number | undefined {
  const text = textFlag(flags, name)
  if (text === undefined) return undefined
  const time = parseRecordedTime(text)
  if (time === null || time.notation === 'seconds')
    throw usage(`--${name}: expected a date and time as in 2026-03-02T06:00+01:00, got ${given(text)}`)
  return Math.round(time.seconds * 1000)
}

function spanFlag(flags: Flags): number | undefined {
  const text = textFlag(flags, 'last')
  if (text === undefined) return undefined
  const [, number, unit] = LAST.exec(text) ?? []
  const ms = Number(number) * UNIT_MS[unit as keyof typeof UNIT_MS]
  if (ms > 0 && Number.isFinite(ms)) return ms
  throw usage(`--last: expected a span as in 30min, 8h or 2d, got ${given(text)}`)
}
