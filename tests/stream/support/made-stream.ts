import type { Clock } from '../../../gateway/clock.ts'
import type { Outlet } from '../../../gateway/stream/client.ts'
import { epochMs, monotonicMs } from '../../../shared/brand.ts'
import { type ServerMessage, serverMessage } from '../../../shared/protocol/messages.ts'
import { decodeSampleBatch, type SampleBatch } from '../../../shared/protocol/sample-batch.ts'
import type { QualityCode } from '../../../shared/quality.ts'
import type { Sample, ZoneFrame } from '../../../shared/sample.ts'
import type { ZoneInfo } from '../../../shared/schemas/zones.ts'

export const EPOCH_OFFSET_MS = 1_700_000_000_000

/** A clock that stands still until told. */
export class HandClock implements Clock {
  ms = 0
  readonly now = () => monotonicMs(this.ms)
  readonly toEpoch = (t: number) => epochMs(t + EPOCH_OFFSET_MS)
}

export function madeZone(id: string, columns: ZoneInfo['columns'] = ['single'], rateHz = 100): ZoneInfo {
  return {
    id,
    name: id,
    columns,
    totalMeans: 'force',
    cellDistanceM: null,
    webWidthM: null,
    webOffsetM: 0,
    capacityN: {},
    rateHz,
    averageSeconds: 30,
  }
}

export function madeSample(ms: number, value: number | null, code: QualityCode = 'good'): Sample {
  return { tMs: monotonicMs(ms), halfWidthMs: 0.5, raw: null, electrical: null, value, code }
}

/** A frame of one cell. */
export function oneCell(ms: number, value: number): ZoneFrame {
  return { tMs: monotonicMs(ms), skewMs: 0, sides: { single: madeSample(ms, value) }, aux: {} }
}

export type Received =
  | { readonly kind: 'batch'; readonly batch: SampleBatch }
  | { readonly kind: 'message'; readonly message: ServerMessage }

/** A socket that takes bytes only when told to, and keeps what it took. */
export class HandOutlet implements Outlet {
  readonly received: Received[] = []
  /** Most bytes it ever held. */
  highWater = 0
  readonly #queue: { bytes: Uint8Array; binary: boolean; done: () => void }[] = []
  #later: (() => void)[] = []
  bufferedAmount = 0

  send(bytes: Uint8Array, binary: boolean, done: () => void): void {
    this.#queue.push({ bytes, binary, done })
    this.bufferedAmount += bytes.byteLength
    this.highWater = Math.max(this.highWater, this.bufferedAmount)
  }

  later(resume: () => void): void {
    this.#later.push(resume)
  }

  /** Takes this many messages, then lets what was put off go on. */
  take(messages: number): void {
    for (let i = 0; i < messages; i++) {
      const next = this.#queue.shift()
      if (next === undefined) break
      this.bufferedAmount -= next.bytes.byteLength
      this.received.push(readMessage(next.bytes, next.binary))
      next.done()
    }
    const later = this.#later
    this.#later = []
    for (const resume of later) resume()
  }

  /** Takes all there is and all that follows from it. */
  takeAll(): void {
    while (this.#queue.length > 0 || this.#later.length > 0) this.take(this.#queue.length)
  }

  batches(): SampleBatch[] {
    return this.received.flatMap((item) => (item.kind === 'batch' ? [item.batch] : []))
  }

  messages<Type extends ServerMessage['type']>(type: Type): Extract<ServerMessage, { type: Type }>[] {
    return this.received.flatMap((item) =>
      item.kind === 'message' && item.message.type === type
        ? [item.message as Extract<ServerMessage, { type: Type }>]
        : [],
    )
  }
}

function readMessage(bytes: Uint8Array, binary: boolean): Received {
  if (!binary) {
    const message = serverMessage.parse(JSON.parse(Buffer.from(bytes).toString('utf8')))
    return { kind: 'message', message }
  }
  const batch = decodeSampleBatch(bytes.slice().buffer)
  if (batch === null) throw new Error('a binary message was no batch')
  return { kind: 'batch', batch }
}
