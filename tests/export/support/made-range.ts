import { writeExport } from '../../../gateway/export/write-export.ts'
import { ZoneExports } from '../../../gateway/export/zone-exports.ts'
import { exampleRecorder } from '../../../gateway/http/history-examples.ts'
import type { RangeFacts, Recorder, SampleBlock } from '../../../gateway/recorder/recorder.ts'
import { qualityByte } from '../../../shared/quality.ts'
import { type Config, configSchema } from '../../../shared/schemas/config.ts'
import type { NewEvent } from '../../../shared/schemas/events.ts'
import { madeConfig } from '../../recorder/support/made-store.ts'

export const START_MS = Date.UTC(2026, 0, 1)
const GOOD = qualityByte('good')

/** Two revisions: the second has lost its speed channel and lists its sides the other way round. */
export const madeFacts: RangeFacts = {
  columns: [
    { role: 'drive_side', unit: 'N' },
    { role: 'operator_side', unit: 'N' },
    { role: 'speed', unit: 'm/s' },
  ],
  revisions: [
    { revision: 'aaaaaaaaaaaa', fromMs: START_MS, channels: { drive_side: 'ds', operator_side: 'os', speed: 'v' } },
    { revision: 'bbbbbbbbbbbb', fromMs: START_MS + 30, channels: { drive_side: 'ds', operator_side: 'os' } },
  ],
  about: 5,
}

export const madeBlocks: readonly SampleBlock[] = [
  {
    revision: 'aaaaaaaaaaaa',
    columns: [
      { role: 'drive_side', channel: 'ds', unit: 'N' },
      { role: 'operator_side', channel: 'os', unit: 'N' },
      { role: 'speed', channel: 'v', unit: 'm/s' },
    ],
    timesMs: Float64Array.of(START_MS, START_MS + 10.1, START_MS + 19.9),
    values: [
      Float64Array.of(100.125, Number.NaN, 101),
      Float64Array.of(-0.5, 0, Number.NaN),
      Float64Array.of(4.000000000000001, 4, 4),
    ],
    raws: [Float64Array.of(1, 2, 3), Float64Array.of(1, 2, 3), Float64Array.of(1, 2, 3)],
    codes: [
      Uint8Array.of(GOOD, qualityByte('wire-break'), GOOD),
      Uint8Array.of(GOOD, GOOD, qualityByte('missing')),
      Uint8Array.of(GOOD, GOOD, qualityByte('saturated')),
    ],
  },
  {
    revision: 'bbbbbbbbbbbb',
    columns: [
      { role: 'operator_side', channel: 'os', unit: 'N' },
      { role: 'drive_side', channel: 'ds', unit: 'N' },
    ],
    timesMs: Float64Array.of(START_MS + 30, START_MS + 40),
    values: [Float64Array.of(202, 203), Float64Array.of(102, 103)],
    raws: [Float64Array.of(1, 2), Float64Array.of(1, 2)],
    codes: [Uint8Array.of(GOOD, GOOD), Uint8Array.of(GOOD, GOOD)],
  },
]

export const madePlant: Config = configSchema.parse({ ...madeConfig(), plant: 'Example plant', line: 'Line 1' })

export async function* streamed<T>(items: Iterable<T>): AsyncGenerator<T> {
  yield* items
}

export interface MadeSource extends Pick<Recorder, 'rangeFacts' | 'status' | 'event'> {
  readonly events: NewEvent[]
}

/** A recorder that says what these blocks hold; events are kept. */
export function madeSource(): MadeSource {
  const events: NewEvent[] = []
  return {
    events,
    rangeFacts: async () => madeFacts,
    status: () => ({ ...exampleRecorder, file: '/made/store.sqlite' }),
    event: async (event) => {
      events.push(event)
      return { id: events.length, ...event }
    },
  }
}

/** Exports of made blocks, without a thread. */
export const madeExports = (
  source = madeSource(),
  blocks: () => AsyncGenerator<SampleBlock> = () => streamed(madeBlocks),
) =>
  new ZoneExports({
    recorder: source,
    config: () => madePlant,
    version: '1.2.3',
    nowEpochMs: () => START_MS,
    write: ({ format, facts }) => writeExport(format, facts, blocks()),
  })
