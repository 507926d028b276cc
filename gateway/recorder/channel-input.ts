import { qualityByte } from '../../shared/quality.ts'
import type { Sample } from '../../shared/sample.ts'
import { ColumnBuffer } from './column-buffer.ts'

/**
 * What came of one channel since the last hand-over. Its times only grow: a source whose own clock was set back (a
 * recording that is begun anew) goes on after its last sample, its spacing kept.
 */
export class ChannelInput {
  readonly buffer = new ColumnBuffer()
  #lastTick: number
  #shift = 0

  constructor(notBeforeTick: number) {
    this.#lastTick = notBeforeTick
  }

  push(tick: number, { raw, code }: Sample): void {
    let at = tick + this.#shift
    if (at <= this.#lastTick) {
      this.#shift += this.#lastTick + 1 - at
      at = this.#lastTick + 1
    }
    this.#lastTick = at
    this.buffer.push(at, raw ?? Number.NaN, qualityByte(code))
  }
}
