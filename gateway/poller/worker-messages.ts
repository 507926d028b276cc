import type { RawReading } from '../../shared/sample.ts'
import type { DeviceHealth } from '../../shared/schemas/health.ts'
import type { RegisterViewQuery } from '../../shared/schemas/register-view.ts'
import type { RegisterRead } from './device-runner.ts'
import type { DevicePlan } from './types.ts'
import type { WireError } from './wire-error.ts'

/** Handed to the worker at its start: the main thread's anchor, so that both date alike. */
export interface WorkerStart {
  /** Epoch ms minus monotonic ms. */
  readonly epochOffsetMs: number
}

/** Main thread → worker. */
export type ToWorker =
  | { readonly type: 'apply'; readonly generation: number; readonly plans: readonly DevicePlan[] }
  | { readonly type: 'read'; readonly id: number; readonly query: RegisterViewQuery }
  | { readonly type: 'taken'; readonly readings: number }
  | { readonly type: 'stop' }

/** Worker → main thread. */
export type FromWorker =
  | {
      readonly type: 'readings'
      /** Of the plans these readings were made by. */
      readonly generation: number
      readonly batch: readonly RawReading[]
    }
  | { readonly type: 'health'; readonly devices: readonly DeviceHealth[] }
  | { readonly type: 'read-done'; readonly id: number; readonly read: RegisterRead }
  | { readonly type: 'read-failed'; readonly id: number; readonly error: WireError }
