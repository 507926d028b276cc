import type { RawReading } from '../../shared/sample.ts'
import type { DeviceConfig } from '../../shared/schemas/config.ts'
import type { DeviceHealth } from '../../shared/schemas/health.ts'
import type { RegisterViewQuery } from '../../shared/schemas/register-view.ts'

/** One request, planned once from the config. Plain data: it crosses to the polling process. */
export interface PlannedRequest {
  /** Modbus: unit id, function 3 or 4, 0-based address, register count. Else null and the number of items. */
  readonly unitId: number | null
  readonly function: 3 | 4 | null
  readonly address: number | null
  readonly count: number
  readonly items: readonly PlannedItem[]
}

/** One channel inside a request. */
export interface PlannedItem {
  readonly channelId: string
  /** Where the channel's words begin, counted from the start of the request. */
  readonly offset: number
  /** How many words it has: 2 for a 32-bit register type, else 1. */
  readonly words: 1 | 2
  /** IIO and replay: the channel or column; null for Modbus. */
  readonly source: string | null
}

export interface DevicePlan {
  readonly device: DeviceConfig
  readonly requests: readonly PlannedRequest[]
  /** Channels of this device that are the two sides of one zone: read together wherever the map allows. */
  readonly pairs: readonly (readonly [driveSide: string, operatorSide: string])[]
}

/** What the polling process tells the gateway. */
export interface PollingEvents {
  readings(batch: readonly RawReading[]): void
  health(devices: readonly DeviceHealth[]): void
  /** Polling cannot go on; the gateway must say so and stop. */
  failed(error: Error): void
}

/** The polling process as the rest of the gateway sees it. */
export interface Polling {
  /** Replaces what is polled. Devices whose plan is unchanged keep their connection and counters. */
  apply(plans: readonly DevicePlan[]): void
  /** One read on a device's own line, between its polls, for the register viewer. Rejects with EvenpullError. */
  readRegisters(query: RegisterViewQuery): Promise<{ words: number[]; timeMs: number; roundTripMs: number }>
  stop(): Promise<void>
}
