import type { TimedColumn } from './column-buffer.ts'
import type { StoreFault } from './driver.ts'
import type { KeepLimits } from './retention.ts'

/** Samples of one channel as the main thread hands them over. */
export interface NamedColumn extends TimedColumn {
  readonly channel: string
}

export interface OutboxRow {
  readonly timeMs: number
  readonly topic: string
  readonly body: string
}

export interface WriterLimits {
  /** Under so much free space only roll-ups are written. */
  readonly minFreeBytes: number
  readonly keep: KeepLimits
}

export interface WriterOptions extends WriterLimits {
  readonly path: string
  /** The file was found to be broken: set it aside whatever its beginning looks like. */
  readonly isBroken?: boolean
  /** Epoch ms, for the name of a file that is set aside. */
  readonly nowMs: number
  /** Space left for the store, for tests; asked of the file system when absent. */
  readonly freeBytes?: () => number
}

/** What a writer found when it opened. */
export interface Found {
  /** Newest time in the store, epoch ms; null in an empty one. */
  readonly newestMs: number | null
  readonly lastEventId: number
  /** Where a file that could not be read was put; null usually. */
  readonly setAside: string | null
}

export type WriterState = 'running' | 'roll-ups-only' | 'stopped'

export interface WriterStatus {
  readonly state: WriterState
  readonly fault: { readonly kind: StoreFault; readonly message: string } | null
  readonly freeBytes: number | null
  readonly bytes: number | null
  readonly lostSamples: number
}
