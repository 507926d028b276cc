import type { RawReading } from '../../shared/sample.ts'
import type { DeviceHealth } from '../../shared/schemas/health.ts'
import type { RegisterViewQuery } from '../../shared/schemas/register-view.ts'
import type { RegisterRead } from './device-runner.ts'
import type { DevicePlan } from './types.ts'
import type { WireError } from './wire-error.ts'

/** Gateway → polling process. */
export type ToPolling =
  | { readonly type: 'apply'; readonly generation: number; readonly plans: readonly DevicePlan[] }
  | { readonly type: 'read'; readonly id: number; readonly query: RegisterViewQuery }
  | { readonly type: 'taken'; readonly readings: number }
  | { readonly type: 'stop' }

/** Polling process → gateway. */
export type FromPolling =
  /** First of all: what was sent before the process listens would be lost. */
  | { readonly type: 'ready' }
  | {
      readonly type: 'readings'
      /** Of the plans these readings were made by. */
      readonly generation: number
      readonly batch: readonly RawReading[]
    }
  | { readonly type: 'health'; readonly devices: readonly DeviceHealth[] }
  | { readonly type: 'read-done'; readonly id: number; readonly read: RegisterRead }
  | { readonly type: 'read-failed'; readonly id: number; readonly error: WireError }
