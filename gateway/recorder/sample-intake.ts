import { ticksOf } from '../../lib/store-codec/times.ts'
import type { Sample } from '../../shared/sample.ts'
import { ChannelInput } from './channel-input.ts'
import type { StoreHandle } from './store-handle.ts'
import type { NamedColumn, WriterStatus } from './writer-facts.ts'

/** So many do not wait for the next second: a recording that is played as fast as it goes. */
const FLUSH_SAMPLES = 20_000
/** Handed over and not yet written: beyond this the disk does not keep up, and samples are lost and counted. */
const MOST_IN_FLIGHT = 2_000_000

/** Samples on their way from the pipeline to the store: gathered by channel, handed over together, counted when lost. */
export class SampleIntake {
  readonly #store: StoreHandle
  readonly #tell: (status: WriterStatus) => void
  readonly #inputs = new Map<string, ChannelInput>()
  #newestMs: number | null = null
  #buffered = 0
  #inFlight = 0
  /** The newest hand-over; the ones before are through when it is. */
  #flushed: Promise<void> = Promise.resolve()
  #lost = 0
  #unsealed = 0

  /** @param tell hears how the store is after each hand-over */
  constructor(store: StoreHandle, tell: (status: WriterStatus) => void) {
    this.#store = store
    this.#tell = tell
  }

  /** Samples that came and are not kept, for whatever reason on this side of the writer. */
  get lost(): number {
    return this.#lost
  }

  /** Handed over since the writer last made chunks of them. */
  get unsealed(): number {
    return this.#unsealed
  }

  sealed(): void {
    this.#unsealed = 0
  }

  lose(samples: number): void {
    this.#lost += samples
  }

  /** Another store is open: nothing in it is newer than this, epoch ms. */
  beginAfter(newestMs: number | null): void {
    this.#newestMs = newestMs
    this.#inputs.clear()
  }

  /** A sample at this time, epoch ms; a store must be open. O(1). */
  take(channelId: string, timeMs: number, sample: Sample): void {
    this.#inputOf(channelId).push(ticksOf(timeMs), sample)
    this.#buffered += 1
    if (this.#buffered >= FLUSH_SAMPLES) void this.flush()
  }

  /** Hands over what came; resolves when all that came is on the disk, or when it is known that it is not. */
  flush(): Promise<void> {
    if (this.#buffered > 0 && this.#store.isOpen) this.#flushed = this.#handOver()
    return this.#flushed
  }

  async #handOver(): Promise<void> {
    const columns = this.#takeColumns()
    const samples = this.#buffered
    this.#buffered = 0
    if (this.#inFlight + samples > MOST_IN_FLIGHT) {
      this.#lost += samples
      return
    }
    this.#inFlight += samples
    this.#unsealed += samples
    const buffers = columns.flatMap(({ ticks, raws, codes }) => [ticks.buffer, raws.buffer, codes.buffer])
    let isTaken = false
    await this.#store.writing(async (link) => {
      const status = await link.writer.call('samples', [columns], buffers as ArrayBuffer[])
      isTaken = true
      this.#tell(status)
    })
    this.#inFlight -= samples
    if (!isTaken) this.#lost += samples
  }

  #takeColumns(): NamedColumn[] {
    return [...this.#inputs]
      .filter(([, { buffer }]) => buffer.length > 0)
      .map(([channel, { buffer }]) => ({ channel, ...buffer.take() }))
  }

  #inputOf(channelId: string): ChannelInput {
    let input = this.#inputs.get(channelId)
    if (input === undefined) {
      input = new ChannelInput(ticksOf(this.#newestMs ?? 0))
      this.#inputs.set(channelId, input)
    }
    return input
  }
}
