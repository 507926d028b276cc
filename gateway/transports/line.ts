import type { PlannedRequest } from '../poller/types.ts'
import type { PolledTransport } from './transport.ts'

/** One row of a recording. */
export interface ReplayRow {
  /** Recorded time in seconds; only differences mean anything. */
  readonly seconds: number
  /** One number an item of the request, null for an empty cell. */
  readonly values: readonly (number | null)[]
}

/**
 * A recording: it is not asked, it is played. The player pulls rows and gives them their time, so
 * that a reader who is slow slows the file down and nothing piles up.
 */
export interface Recording {
  /** The rows from the beginning. Throws EVP_REPLAY_FILE or EVP_REPLAY_FORMAT (with line and column). */
  rows(request: PlannedRequest): AsyncIterable<ReplayRow>
}

/** How one device is reached, and where that is in words. */
export type Line = PolledLine | PlayedLine

export interface PolledLine {
  readonly kind: 'polled'
  readonly transport: PolledTransport
  readonly where: () => string
}

export interface PlayedLine {
  readonly kind: 'played'
  readonly recording: Recording
  /** 1 is as recorded; max is as fast as the rows are taken. */
  readonly speed: number | 'max'
  readonly repeat: boolean
  readonly where: () => string
}
