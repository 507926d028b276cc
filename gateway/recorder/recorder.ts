import type { MeasuredMinute } from '../../lib/drift/minute-track.ts'
import type { Sample } from '../../shared/sample.ts'
import type { Config } from '../../shared/schemas/config.ts'
import type { EventList, NewEvent, StoredEvent } from '../../shared/schemas/events.ts'
import type { ZoneHistory } from '../../shared/schemas/history.ts'
import type { RecorderStatus } from '../../shared/schemas/recorder.ts'
import type { ZoneMinute } from '../../shared/schemas/zone-minute.ts'
import type { RangeFacts } from './range-facts.ts'
import type { SampleBlock } from './read-samples.ts'
import type { EventQuery, OutboxExtent, StoredDocument, StoredOutboxRow } from './store-reader.ts'
import type { OutboxRow } from './writer-facts.ts'

export type { EventQuery, OutboxExtent, OutboxRow, RangeFacts, SampleBlock, StoredDocument, StoredOutboxRow }

/**
 * What is kept, as the rest of the gateway sees it. The store itself is read and written in threads of their own:
 * nothing here ever blocks.
 *
 * While recording is off or stopped, what is handed in live is let go (`status` says so and counts), and what asks the
 * store rejects with EVP_RECORDER_OFF or EVP_RECORDER_STOPPED. Events are the exception: they are held in memory,
 * listed from there, and written when it goes on.
 */
export interface Recorder {
  /** A sample of a channel, in order of time. O(1), on the hot path. */
  sample(channelId: string, sample: Sample): void
  /** A finished minute of a zone, kept with the revision in force. Of two of the same minute (it was interrupted) the one with more good frames stays. */
  minute(zoneId: string, minute: MeasuredMinute): void
  /** Resolves once it is on the disk; while nothing can be written, at once. Listeners are told before. */
  event(event: NewEvent): Promise<StoredEvent>
  /** Returns the undo. */
  onEvent(listener: (event: StoredEvent) => void): () => void
  /** A revision came into force: samples from now on are read by its scales. */
  configure(config: Config, revision: string): void
  /** Rejects with EVP_NOT_FOUND for a zone that never was. */
  history(zone: string, fromMs: number, toMs: number, points: number, signal?: AbortSignal): Promise<ZoneHistory>
  /** Minutes of a zone that begin in `fromMs ≤ t < toMs`, oldest first. */
  minutes(zone: string, fromMs: number, toMs: number): Promise<ZoneMinute[]>
  events(query: EventQuery): Promise<EventList>
  /** What is kept of a zone in a range, without reading it. Rejects with EVP_NOT_FOUND for a zone that never was. */
  rangeFacts(zone: string, fromMs: number, toMs: number): Promise<RangeFacts>
  /** Every sample of a zone, in blocks of at most some ten thousand rows, oldest first; a block is of one revision. */
  samples(zone: string, fromMs: number, toMs: number, signal?: AbortSignal): AsyncIterable<SampleBlock>
  readonly document: {
    /** Undefined when there is none. */
    get(kind: string, id: string): Promise<StoredDocument | undefined>
    /** Resolves once it is on the disk. */
    put(kind: string, id: string, value: unknown): Promise<void>
    /** By id, from this one on. */
    list(kind: string, fromId?: string): Promise<StoredDocument[]>
  }
  readonly outbox: {
    /** Resolves to the number of the last row, once all are on the disk. Numbers grow and are never used twice. */
    append(rows: readonly OutboxRow[]): Promise<number>
    after(seq: number, limit: number): Promise<StoredOutboxRow[]>
    /** Drops the rows up to and with this number. */
    trim(seq: number): Promise<void>
    extent(): Promise<OutboxExtent>
    /** The newest row whose topic begins so. */
    newest(topicPrefix: string): Promise<StoredOutboxRow | undefined>
  }
  /** Ranges that outlive every limit of age and size: evidence of a verification. */
  readonly protection: {
    /** The same name again replaces the range. */
    set(name: string, zone: string, fromMs: number, toMs: number): Promise<void>
    end(name: string): Promise<void>
  }
  status(): RecorderStatus
  close(): Promise<void>
}
