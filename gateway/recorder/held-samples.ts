import type { ChannelColumn } from '../../lib/store-codec/block.ts'
import { ColumnBuffer } from './column-buffer.ts'

/** Samples in memory that have not become chunks, in order of time, by channel and revision number. */
export class HeldSamples {
  readonly #buffers = new Map<string, { channel: number; revision: number; buffer: ColumnBuffer }>()

  hold(column: ChannelColumn): void {
    const { channel, revision } = column
    const key = `${channel} ${revision}`
    const held = this.#buffers.get(key) ?? { channel, revision, buffer: new ColumnBuffer() }
    held.buffer.append(column)
    this.#buffers.set(key, held)
  }

  get count(): number {
    return [...this.#buffers.values()].reduce((sum, { buffer }) => sum + buffer.length, 0)
  }

  /** Copies of what is held; no column is empty. */
  columns(): ChannelColumn[] {
    return [...this.#buffers.values()]
      .filter(({ buffer }) => buffer.length > 0)
      .map(({ channel, revision, buffer }): ChannelColumn => ({ channel, revision, ...buffer.copy() }))
  }

  clear(): void {
    this.#buffers.clear()
  }
}
