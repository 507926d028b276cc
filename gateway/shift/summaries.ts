import { composeSummary } from '../../lib/summary/compose.ts'
import { concernsZone } from '../../lib/summary/concerns-zone.ts'
import type { Config } from '../../shared/schemas/config.ts'
import type { EventList, StoredEvent } from '../../shared/schemas/events.ts'
import type { ZoneHistory } from '../../shared/schemas/history.ts'
import type { ShiftQuery } from '../../shared/schemas/shift.ts'
import type { ShiftSummary } from '../../shared/schemas/shift-summary.ts'
import { type MinuteSources, shiftOf } from './shifts.ts'

interface EventsAsked {
  readonly kind?: string
  readonly fromMs?: number
  readonly toMs: number
  readonly before?: number
  readonly limit: number
}

/** Where the facts of a shift are read from: the gateway's recorder, or a store that is opened for reading alone. */
export interface SummarySources {
  readonly minutes: MinuteSources
  history(zone: string, fromMs: number, toMs: number, points: number): Promise<ZoneHistory>
  events(query: EventsAsked): Promise<EventList>
}

/** Rows that gaps are told by: of 8 h half a minute each. */
const POINTS = 1000
const EVENTS_AT_ONCE = 1000
/** More events than anybody reads on a sheet. */
const MOST_EVENTS = 5000

/** The facts of a shift put together. Undefined: no such zone. Rejects as the recorder does. */
export async function summaryOf(
  sources: SummarySources,
  config: Config,
  zoneId: string,
  query: ShiftQuery,
  madeMs: number,
): Promise<ShiftSummary | undefined> {
  const zone = config.zones.find(({ id }) => id === zoneId)
  if (zone === undefined) return undefined
  const { from, to } = query
  const isCompared = query.baseline_from !== undefined
  // Its means come with a comparison: without one the shift stands for both.
  const asked = isCompared ? query : { from, to, baseline_from: from, baseline_to: to }
  const [analysis, history, events, earlier] = await Promise.all([
    shiftOf(sources.minutes, config, zoneId, asked, madeMs),
    sources.history(zoneId, from, to, POINTS),
    eventsOf(sources, zoneId, from, to),
    sources.events({ kind: 'alarm', toMs: from, limit: EVENTS_AT_ONCE }),
  ])
  return composeSummary({
    plant: config.plant ?? null,
    line: config.line ?? null,
    zone: { id: zoneId, name: zone.name ?? zoneId },
    fromMs: from,
    toMs: to,
    madeMs,
    history,
    analysis: analysis ?? null,
    isCompared,
    events,
    alarmsBefore: earlier.events.filter(concernsZone(zoneId)),
  })
}

/** What happened to the zone or to the whole gateway. */
async function eventsOf(sources: SummarySources, zone: string, fromMs: number, toMs: number): Promise<StoredEvent[]> {
  const found: StoredEvent[] = []
  let before: number | null = null
  do {
    const page: EventList = await sources.events({
      fromMs,
      toMs,
      limit: EVENTS_AT_ONCE,
      ...(before === null ? {} : { before }),
    })
    found.push(...page.events.filter(concernsZone(zone)))
    before = page.olderBefore
  } while (before !== null && found.length < MOST_EVENTS)
  return found
}
