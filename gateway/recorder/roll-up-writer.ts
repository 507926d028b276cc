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
    let rows: RollUp[] = []
    let added = 0
    for (const level of ROLL_UP_LEVELS) {
      const isFinest = level === ROLL_UP_LEVELS[0]
      rows = isFinest ? rollUp(level, column, this.#valueFor(column)) : wider(rows, level)
      for (const row of rows) {
        const isNew = this.#add(level, column.channel, row)
        if (isFinest && isNew) added += 1
      }
    }
    addSize(this.#db, 'roll_ups', added * BYTES_A_ROLL_UP)
  }

  /**
   * Whether the stretch had no row before. Two statements and no RETURNING: for its one row SQLite makes a table of its
   * own each time, 150 kB taken and given back a row.
   */
  #add(level: number, channel: number, { t, n, min, max, sum, sumsq }: RollUp): boolean {
    const insert = prepared(
      this.#db,
      `INSERT INTO rollup (level, channel, t, n, min, max, sum, sumsq) VALUES (?, ?, ?, ?, ?, ?, ?, ?)
        ON CONFLICT DO NOTHING`,
    )
    if (insert.run(level, channel, t, n, min, max, sum, sumsq).changes === 1) return true
    prepared(
      this.#db,
      `UPDATE rollup SET n = n + ?, min = min(min, ?), max = max(max, ?), sum = sum + ?, sumsq = sumsq + ?
        WHERE level = ? AND channel = ? AND t = ?`,
    ).run(n, min, max, sum, sumsq, level, channel, t)
    return false
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
