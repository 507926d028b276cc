import { analyseShift } from '../../lib/drift/analyse-shift.ts'
import { shiftOptions } from '../../lib/drift/shift-options.ts'
import type { Config } from '../../shared/schemas/config.ts'
import type { ShiftAnalysis, ShiftQuery } from '../../shared/schemas/shift.ts'
import type { MinuteStore } from './minute-memory.ts'

const SOURCES = {
  recorder: 'From the recorder.',
  memory: 'From the memory of the gateway: recording is off, so only what came since its start is there, at most 24 h.',
} as const satisfies Record<ShiftAnalysis['source'], string>

/** Where the minutes are read from at this moment. */
export interface MinuteSource {
  readonly store: MinuteStore
  readonly kind: ShiftAnalysis['source']
}

/** What has moved in a zone over a stretch of time. Undefined: no such zone. Rejects as the store does. */
export async function shiftOf(
  { store, kind }: MinuteSource,
  config: Config,
  zoneId: string,
  query: ShiftQuery,
): Promise<ShiftAnalysis | undefined> {
  const zone = config.zones.find(({ id }) => id === zoneId)
  if (zone === undefined) return undefined
  const read = async (fromMs: number, toMs: number) => ({
    fromMs,
    toMs,
    minutes: await store.minutes(zoneId, fromMs, toMs),
  })
  const { from, to, baseline_from: baselineFrom, baseline_to: baselineTo } = query
  const asked = await read(from, to)
  const isCompared = baselineFrom !== undefined && baselineTo !== undefined
  const baseline = isCompared ? { baseline: await read(baselineFrom, baselineTo) } : {}
  const options = shiftOptions(zone, new Map(config.channels.map((channel) => [channel.id, channel])))
  return { ...analyseShift({ ...asked, ...baseline }, options), source: kind, sourceSentence: SOURCES[kind] }
}
