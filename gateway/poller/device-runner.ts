import type { RawReading } from '../../shared/sample.ts'
import type { DeviceHealth } from '../../shared/schemas/health.ts'
import type { RegisterViewQuery } from '../../shared/schemas/register-view.ts'
import type { Clock } from '../clock.ts'
import type { DeviceState } from './device-state.ts'

/** Registers read for a person, once. `timeMs` is epoch ms of the middle of request and response. */
export interface RegisterRead {
  readonly words: number[]
  readonly timeMs: number
  readonly roundTripMs: number
}

/** One device at work on its own line. */
export interface DeviceRunner {
  state(): DeviceState
  health(): DeviceHealth
  /** Rejects with EVP_REQUEST_INVALID where the device has no registers, else as a poll would. */
  readRegisters(query: RegisterViewQuery): Promise<RegisterRead>
  /** Ends after what is in flight; nothing is emitted afterwards. */
  stop(): Promise<void>
}

/** What a device at work needs from the process it lives in. */
export interface RunnerContext {
  readonly clock: Clock
  emit(reading: RawReading): void
  /** Resolves when readings may be emitted faster than they happen (a replay at full speed). */
  room(): Promise<void>
  /** The device's state may have changed. */
  changed(): void
}
