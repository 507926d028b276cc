/** How a recording writes its times; one file keeps to one way. */
type TimeNotation = 'seconds' | 'ISO 8601 with a zone' | 'ISO 8601 without a zone'

export interface RecordedTime {
  readonly notation: TimeNotation
  /** Seconds since the notation's zero; only differences mean anything. */
  readonly seconds: number
}

const SECONDS = /^[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?$/
const ISO = /^(\d{4})-(\d\d)-(\d\d)[T ](\d\d):(\d\d)(?::(\d\d)(\.\d+)?)?(Z|[+-]\d\d:?\d\d)?$/

/**
 * A time cell: seconds as a decimal number, or ISO 8601 date and time (a blank may stand for the T).
 * Without a zone the time is read as if it were UTC, since only differences count. Null when it
 * is neither, or is no time of the calendar. Fractions of a second are kept beyond milliseconds.
 *
 * Source: ISO 8601-1:2019 extended format, as in RFC 3339 §5.6.
 */
export function parseRecordedTime(text: string): RecordedTime | null {
  if (SECONDS.test(text)) {
    const seconds = Number(text)
    return Number.isFinite(seconds) ? { notation: 'seconds', seconds } : null
  }
  const match = ISO.exec(text)
  if (match === null) return null
  const [, year, month, day, hour, minute, second = '0', fraction = '0', zone] = match
  const [h, min, s] = [Number(hour), Number(minute), Number(second)]
  const dayMs = Date.UTC(Number(year), Number(month) - 1, Number(day))
  const offsetMinutes = zoneMinutes(zone)
  if (!isDay(dayMs, Number(month), Number(day)) || h > 23 || min > 59 || s > 59 || offsetMinutes === null) return null
  return {
    notation: zone === undefined ? 'ISO 8601 without a zone' : 'ISO 8601 with a zone',
    seconds: dayMs / 1000 + h * 3600 + (min - offsetMinutes) * 60 + s + Number(fraction),
  }
}

/** Date.UTC carries 31 February over into March; a recording that says so is wrong. */
function isDay(dayMs: number, month: number, day: number): boolean {
  const date = new Date(dayMs)
  return date.getUTCMonth() + 1 === month && date.getUTCDate() === day
}

function zoneMinutes(zone: string | undefined): number | null {
  if (zone === undefined || zone === 'Z') return 0
  const hours = Number(zone.slice(1, 3))
  const minutes = Number(zone.slice(-2))
  if (hours > 23 || minutes > 59) return null
  return (zone.startsWith('-') ? -1 : 1) * (hours * 60 + minutes)
}
