import { analyseShift } from '../../lib/drift/analyse-shift.ts'
import { shiftOptions } from '../../lib/drift/shift-options.ts'
import type { Config } from '../../shared/schemas/config.ts'
import type { ShiftAnalysis, ShiftQuery } from '../../shared/schemas/shift.ts'
import type { ZoneMinute } from '../../shared/schemas/zone-minute.ts'
import type { MinuteStore } from './minute-memory.ts'

/** Where minutes are read from at this moment. */
export interface MinuteSources {
  /** Undefined while it cannot be asked. */
  readonly recorder: MinuteStore | undefined
  readonly memory: MinuteStore
}

const FROM_MEMORY =
  'From the memory of the gateway: recording is off or has stopped, so only what came since its start is there, at most 24 h.'
/** The recorder writes a minute some seconds after its end; what it lacks beyond that is not recorded. */
const USUAL_LAG = 2

/** What has moved in a zone over a stretch of time, as of `nowMs`. Undefined: no such zone. Rejects as the recorder does. */
export async function shiftOf(
  sources: MinuteSources,
  config: Config,
  zoneId: string,
  query: ShiftQuery,
  nowMs: number,
): Promise<ShiftAnalysis | undefined> {
  const zone = config.zones.find(({ id }) => id === zoneId)
  if (zone === undefined) return undefined
  const { from, to, baseline_from: baselineFrom, baseline_to: baselineTo } = query
  const { sourceSentence, ...asked } = await read(sources, zoneId, from, to)
  const isCompared = baselineFrom !== undefined && baselineTo !== undefined
  const baseline = isCompared ? { baseline: await read(sources, zoneId, baselineFrom, baselineTo) } : {}
  const options = shiftOptions(zone, new Map(config.channels.map((channel) => [channel.id, channel])))
  const source = sources.recorder === undefined ? 'memory' : 'recorder'
  return { ...analyseShift({ ...asked, ...baseline, nowMs }, options), source, sourceSentence }
}

/** What is recorded, and after it what only the memory has. */
async function read({ recorder, memory }: MinuteSources, zone: string, fromMs: number, toMs: number) {
  const inMemory = await memory.minutes(zone, fromMs, toMs)
  if (recorder === undefined) return { fromMs, toMs, minutes: inMemory, sourceSentence: FROM_MEMORY }
  const recorded = await recorder.minutes(zone, fromMs, toMs)
  const newestMs = recorded.at(-1)?.tMs ?? Number.NEGATIVE_INFINITY
  const beyond = inMemory.filter(({ tMs }) => tMs > newestMs)
  return { fromMs, toMs, minutes: [...recorded, ...beyond], sourceSentence: recordedSentence(beyond) }
}

function recordedSentence({ length }: readonly ZoneMinute[]): string {
  if (length <= USUAL_LAG) return 'From the recorder.'
  return `From the recorder; the newest ${length} minutes are in the memory of the gateway alone.`
}
