import { qualityOf } from '../../shared/quality.ts'
import type { AlarmList } from '../../shared/schemas/alarms.ts'
import type { StoredEvent } from '../../shared/schemas/events.ts'
import {
  type AlarmsBody,
  type DeviceBody,
  type EventBody,
  FORWARD_VERSION,
  type MessageBody,
  type ZoneBody,
} from '../../shared/schemas/forward.ts'
import type { DeviceHealth } from '../../shared/schemas/health.ts'
import type { Figure, Live, SideNow, ZoneNow } from '../../shared/schemas/now.ts'

/** Plant and line: the same in every message of a gateway. */
export interface Place {
  readonly plant: string | null
  readonly line: string | null
}

/** A zone as it stands, without the way its figures were got. */
export function zoneBody(now: ZoneNow, name: string, revision: string, { plant, line }: Place): ZoneBody {
  const { zone, timeMs, sides, totalMeans, comparison, steady } = now
  return {
    kind: 'zone',
    plant,
    line,
    timeMs,
    zone,
    name,
    revision,
    totalMeans,
    steady,
    sides: each(sides, sentSide) as ZoneBody['sides'],
    total: sentFigure(now.total),
    rateOfTotal: sentFigure(now.rateOfTotal),
    ...figuresThere(now),
    ...(comparison && {
      comparison: { reference: comparison.reference, percent: comparison.percent, en: comparison.en },
    }),
    aux: each(now.aux, sentLive),
  }
}

const MAY_BE_ABSENT = [
  'expected',
  'agreement',
  'driftOfResidual',
  'imbalance',
  'lineOfPull',
  'driftOfSideDifference',
] as const

function figuresThere(now: ZoneNow): Partial<Pick<ZoneBody, (typeof MAY_BE_ABSENT)[number]>> {
  return Object.fromEntries(
    MAY_BE_ABSENT.flatMap((key) => {
      const figure = now[key]
      return figure === undefined ? [] : [[key, sentFigure(figure)]]
    }),
  )
}

function sentSide({ live, force, tension, expected, agreement, noise, peakToPeak }: SideNow) {
  return {
    live: sentLive(live),
    force: sentFigure(force),
    ...(tension && { tension: sentFigure(tension) }),
    ...(expected && { expected: sentFigure(expected) }),
    ...(agreement && { agreement: sentFigure(agreement) }),
    noise: sentFigure(noise),
    peakToPeak: sentFigure(peakToPeak),
  }
}

function sentFigure({ value, unit, u, U, k, assumed, limit, verdict, timeMs, waiting }: Figure): ZoneBody['total'] {
  const { state, sentence } = verdict
  return { value, unit, u, U, k, ...(assumed && { assumed }), limit, verdict: { state, sentence }, timeMs, waiting }
}

/** A bad sample is no number, whatever its channel read. */
function sentLive({ channel, value, U, unit, code, timeMs }: Live) {
  const isNumber = value !== null && qualityOf(code) !== 'bad'
  return { channel, value: isNumber ? value : null, ...(isNumber && U !== undefined && { U }), unit, code, timeMs }
}

export function deviceBody({ plan: _, ...device }: DeviceHealth, timeMs: number, { plant, line }: Place): DeviceBody {
  return { kind: 'device', plant, line, timeMs, device }
}

export function eventBody(event: Omit<StoredEvent, 'id'> & { id: number | null }, { plant, line }: Place): EventBody {
  return { kind: 'event', plant, line, timeMs: event.timeMs, event }
}

export function alarmsBody({ timeMs, alarms, counts }: AlarmList, { plant, line }: Place): AlarmsBody {
  const standing = alarms.filter(({ state }) => state !== 'normal')
  const { asking, active, unknown, off } = counts
  return {
    kind: 'alarms',
    plant,
    line,
    timeMs,
    alarms: standing,
    counts: { normal: alarms.length - standing.length, asking, active, unknown, off },
  }
}

export interface Head {
  readonly queue: string | null
  readonly seq: number | null
  /** Only of a state. */
  readonly validUntilMs?: number
}

/** Of what is not queued. */
export const NO_NUMBER = { queue: null, seq: null } as const

/** The payload: a body as JSON, with the head that is known only when it goes out. */
export function payloadOf(body: string, head: Head): string {
  return `${JSON.stringify({ version: FORWARD_VERSION, ...head }).slice(0, -1)},${body.slice(1)}`
}

export const bodyText = (body: MessageBody): string => JSON.stringify(body)

/** The head again for programs that do not look into payloads. */
export function userProperties({ queue, seq }: Head): Record<string, string> {
  return {
    version: String(FORWARD_VERSION),
    ...(queue === null || seq === null ? {} : { queue, seq: String(seq) }),
  }
}

function each<T, R>(record: Readonly<Partial<Record<string, T>>>, act: (value: T) => R): Record<string, R> {
  return Object.fromEntries(
    Object.entries(record).flatMap(([key, value]) => (value === undefined ? [] : [[key, act(value)]])),
  )
}
