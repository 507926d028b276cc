import { existsSync, statSync } from 'node:fs'
import { type Database, openForReading } from '../../gateway/recorder/driver.ts'
import { decodeBlock } from '../../lib/store-codec/block.ts'
import { decodeTimes, msOf } from '../../lib/store-codec/times.ts'

/** A stretch without samples of a channel, epoch ms of the samples around it. */
export interface Gap {
  readonly channel: string
  readonly fromMs: number
  readonly toMs: number
}

export interface StoreSizes {
  /** By kind, as the store accounts for them. */
  readonly kinds: Readonly<Record<string, number>>
  /** The file and what is not yet folded into it. */
  readonly fileBytes: number
}

/**
 * Reads a store beside the gateway that writes it, each chunk once and in order, before retention may take it: where
 * samples are missing, how many there are, and whether times grow.
 */
export class StoreScan {
  readonly gaps: Gap[] = []
  samples = 0
  /** Samples whose time does not grow: none, ever. */
  disordered = 0
  readonly #path: string
  readonly #widestMs: number
  readonly #last = new Map<string, number>()
  #lastChunk = 0

  /** @param widestMs a wider step between two samples is a gap */
  constructor(path: string, widestMs: number) {
    this.#path = path
    this.#widestMs = widestMs
  }

  /** What has become chunks since the last look. */
  look(): void {
    this.#reading((db) => {
      const rows = db
        .prepare(`SELECT k.id, c.name, k.n, k.axis, a.data FROM chunk k JOIN channel c ON c.id = k.channel
          JOIN axis a ON a.id = k.axis WHERE k.id > ? ORDER BY k.id`)
        .iterate(this.#lastChunk) as IterableIterator<{
        id: number
        name: string
        n: number
        axis: number
        data: Uint8Array
      }>
      let axis: { id: number; ticks: Float64Array } = { id: -1, ticks: new Float64Array() }
      for (const row of rows) {
        if (axis.id !== row.axis) axis = { id: row.axis, ticks: decodeTimes(row.data, row.n) }
        this.#follow(row.name, axis.ticks)
        this.#lastChunk = row.id
      }
    })
  }

  /** The same, with what is not in a chunk yet: at the end, when nobody writes any more. */
  lookAtAll(): void {
    this.look()
    this.#reading((db) => {
      const names = db.prepare('SELECT id, name FROM channel').all() as { id: number; name: string }[]
      const rows = db.prepare('SELECT data FROM tail ORDER BY id').all() as { data: Uint8Array }[]
      for (const { channel, ticks } of rows.flatMap(({ data }) => decodeBlock(data)))
        this.#follow(names.find(({ id }) => id === channel)?.name ?? '', ticks)
    })
  }

  /** Newest sample on the disk, epoch ms; null when there is none. Nothing that was counted is counted again. */
  newestMs(): number | null {
    return this.#reading((db) => {
      const { t } = db
        .prepare('SELECT max(t) AS t FROM (SELECT max(t1) AS t FROM axis UNION ALL SELECT max(t1) FROM tail)')
        .get() as { t: number | null }
      return t === null ? null : msOf(t)
    })
  }

  sizes(): StoreSizes {
    const kinds = this.#reading((db) => db.prepare('SELECT kind, bytes FROM size').all()) as
      | { kind: string; bytes: number }[]
      | null
    const files = [this.#path, `${this.#path}-wal`].filter((one) => existsSync(one))
    return {
      kinds: Object.fromEntries((kinds ?? []).map(({ kind, bytes }) => [kind, bytes])),
      fileBytes: files.reduce((sum, one) => sum + statSync(one).size, 0),
    }
  }

  /** How many figures of 10 s a channel has in a range. */
  rollUps(channel: string, fromMs: number, toMs: number): number {
    const row = this.#reading((db) =>
      db
        .prepare(`SELECT count(*) AS n FROM rollup WHERE level = 10 AND channel = (SELECT id FROM channel WHERE name = ?)
          AND t >= ? AND t < ?`)
        .get(channel, Math.floor(fromMs / 1000), Math.floor(toMs / 1000)),
    ) as { n: number } | null
    return row?.n ?? 0
  }

  /** Oldest row of a table, epoch ms. */
  oldestMs(table: 'minute' | 'rollup'): number | null {
    const factor = table === 'rollup' ? 1000 : 1
    const row = this.#reading((db) => db.prepare(`SELECT min(t) * ${factor} AS t FROM ${table}`).get()) as {
      t: number | null
    } | null
    return row?.t ?? null
  }

  /** The clock steps of the trail, oldest first. */
  clockSteps(): number[] {
    const rows = this.#reading((db) => db.prepare("SELECT data FROM event WHERE kind = 'clock-step' ORDER BY id").all())
    return ((rows ?? []) as { data: string }[]).map(({ data }) => (JSON.parse(data) as { stepMs: number }).stepMs)
  }

  #follow(channel: string, ticks: Float64Array): void {
    let last = this.#last.get(channel)
    for (const tick of ticks) {
      const t = msOf(tick)
      if (last !== undefined && t <= last) this.disordered += 1
      if (last !== undefined && t - last > this.#widestMs) this.gaps.push({ channel, fromMs: last, toMs: t })
      last = t
    }
    this.samples += ticks.length
    if (last !== undefined) this.#last.set(channel, last)
  }

  #reading<T>(act: (db: Database) => T): T | null {
    if (!existsSync(this.#path)) return null
    const db = openForReading(this.#path)
    try {
      return act(db)
    } finally {
      db.close()
    }
  }
}
