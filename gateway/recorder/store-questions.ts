import { ticksOf } from '../../lib/store-codec/times.ts'
import type { ZoneHistory } from '../../shared/schemas/history.ts'
import { notThere } from '../not-there.ts'
import type { RangeFacts } from './range-facts.ts'
import type { SampleBlock, SamplePage } from './read-samples.ts'
import type { StoreHandle } from './store-handle.ts'

/**
 * What is asked about the samples of a zone. What came until then is handed over before (`flush`), so that an answer
 * has it. Each throws EVP_RECORDER_OFF, EVP_RECORDER_STOPPED, and EVP_NOT_FOUND for a zone that never was.
 */
export class StoreQuestions {
  readonly #store: StoreHandle
  readonly #flush: () => Promise<void>

  constructor(store: StoreHandle, flush: () => Promise<void>) {
    this.#store = store
    this.#flush = flush
  }

  async history(
    zone: string,
    fromMs: number,
    toMs: number,
    points: number,
    signal?: AbortSignal,
  ): Promise<ZoneHistory> {
    await this.#flush()
    signal?.throwIfAborted()
    const history = await this.#store.opened().reader.call('history', [zone, fromMs, toMs, points])
    signal?.throwIfAborted()
    if (history === undefined) throw notThere('zone', zone)
    return history
  }

  async rangeFacts(zone: string, fromMs: number, toMs: number): Promise<RangeFacts> {
    await this.#flush()
    const facts = await this.#store.opened().reader.call('rangeFacts', [zone, fromMs, toMs])
    if (facts === undefined) throw notThere('zone', zone)
    return facts
  }

  async *samples(zone: string, fromMs: number, toMs: number, signal?: AbortSignal): AsyncGenerator<SampleBlock> {
    await this.#flush()
    const toTick = ticksOf(toMs)
    for (let from: number | null = ticksOf(fromMs); from !== null; ) {
      signal?.throwIfAborted()
      const page: SamplePage | undefined = await this.#store.opened().reader.call('samplePage', [zone, from, toTick])
      if (page === undefined) throw notThere('zone', zone)
      if (page.block !== null) yield page.block
      from = page.nextTick
    }
  }
}
