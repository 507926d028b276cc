import type { Side } from '../../shared/sample.ts'
import type { DeviceHealth } from '../../shared/schemas/health.ts'
import type { ZoneNow } from '../../shared/schemas/now.ts'

/** What the recorder says of itself. */
export interface RecordingFacts {
  readonly state: 'off' | 'running' | 'roll-ups-only' | 'stopped'
  /** In words; null while all is well, and while the store is being opened. */
  readonly why: string | null
}

/** All that alarms look at, of one moment. What is not known is null or absent, and makes an alarm unknown. */
export interface AlarmFacts {
  readonly zones: ReadonlyMap<string, ZoneNow>
  readonly devices: ReadonlyMap<string, DeviceHealth>
  /** Largest force over the capacity of a side, N, among the samples since the look before. */
  readonly overload: (zone: string, side: Side) => number | null
  readonly recording: RecordingFacts | null
  /** Free bytes where data are kept. */
  readonly freeBytes: number | null
}
