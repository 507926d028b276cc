import type { ChannelColumn } from '../../lib/store-codec/block.ts'
import type { ChannelConfig } from '../../shared/schemas/config.ts'
import type { ChannelNumbers } from './channel-numbers.ts'
import { type Database, prepared } from './driver.ts'
import { type SiValue, siValuesOf } from './revision-scales.ts'
import { ROLL_UP_LEVELS, type RollUp, rollUp, wider } from './roll-up.ts'
import { addSize, BYTES_A_ROLL_UP } from './sizes.ts'

/** Adds the figures of 10 s and longer of what was recorded, each read by the scales of its revision. */
export class RollUpWriter {
  readonly #db: Database
  readonly #numbers: ChannelNumbers
  /** By revision number, then channel. */
  readonly #scales = new Map<number, ReadonlyMap<number, SiValue>>()

  constructor(db: Database, numbers: ChannelNumbers) {
    this.#db = db
    this.#numbers = numbers
  }

  /** Part of the caller's transaction. */
  write(column: ChannelColumn): void {
    const upsert = prepared(
      this.#db,
      `INSERT INTO rollup (level, channel, t, n, min, max, sum, sumsq)
      VALUES (?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT DO UPDATE SET n = n + excluded.n, min = min(min, excluded.min),
      max = max(max, excluded.max), sum = sum + excluded.sum, sumsq = sumsq + excluded.sumsq
      RETURNING n`,
    )
    let rows: RollUp[] = []
    let added = 0
    for (const level of ROLL_UP_LEVELS) {
      const isFinest = level === ROLL_UP_LEVELS[0]
      rows = isFinest ? rollUp(level, column, this.#valueFor(column)) : wider(rows, level)
      for (const { t, n, min, max, sum, sumsq } of rows) {
        const after = upsert.get(level, column.channel, t, n, min, max, sum, sumsq) as { n: number }
        if (isFinest && after.n === n) added += 1
      }
    }
    addSize(this.#db, 'roll_ups', added * BYTES_A_ROLL_UP)
  }

  #valueFor({ channel, revision }: ChannelColumn): SiValue {
    const known = this.#scales.get(revision) ?? this.#readScales(revision)
    return known.get(channel) ?? siValuesOf(undefined)
  }

  #readScales(revision: number): ReadonlyMap<number, SiValue> {
    const row = prepared(this.#db, 'SELECT config FROM revision WHERE id = ?').get(revision) as
      | { config: string }
      | undefined
    const channels = row === undefined ? [] : (JSON.parse(row.config) as { channels: ChannelConfig[] }).channels
    const scales = new Map(channels.map((channel) => [this.#numbers.of(channel.id), siValuesOf(channel)]))
    this.#scales.set(revision, scales)
    return scales
  }
}
