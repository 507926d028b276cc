import { type Database, prepared } from './driver.ts'
import { type RevisionScales, type SiValue, siValuesOf, type ZoneScales } from './revision-scales.ts'

/** A revision with the stretch of time in which it was in force. */
export interface RevisionInForce {
  readonly id: number
  readonly revision: string
  readonly fromMs: number
  /** Infinity for the newest. */
  readonly toMs: number
  readonly scales: RevisionScales
}

/** Revisions and channel numbers of a store, read once each. */
export class RevisionTable {
  readonly #db: Database
  #revisions: RevisionInForce[] = []
  readonly #channels = new Map<string, number>()
  readonly #values = new Map<string, SiValue>()

  constructor(db: Database) {
    this.#db = db
    this.refresh()
  }

  /** Takes what has come since. */
  refresh(): void {
    const newest = this.#revisions.at(-1)?.id ?? 0
    const rows = prepared(this.#db, 'SELECT id, revision, t, config FROM revision WHERE id > ? ORDER BY id').all(
      newest,
    ) as {
      id: number
      revision: string
      t: number
      config: string
    }[]
    for (const { id, revision, t, config } of rows) {
      const before = this.#revisions.pop()
      if (before !== undefined) this.#revisions.push({ ...before, toMs: t })
      this.#revisions.push({
        id,
        revision,
        fromMs: t,
        toMs: Number.POSITIVE_INFINITY,
        scales: JSON.parse(config) as RevisionScales,
      })
    }
    for (const { id, name } of prepared(this.#db, 'SELECT id, name FROM channel').all() as {
      id: number
      name: string
    }[])
      this.#channels.set(name, id)
  }

  /** Revisions in force in a range, oldest first; the first also before it came into force. */
  inRange(fromMs: number, toMs: number): RevisionInForce[] {
    return this.#revisions.filter((one, i) => one.toMs > fromMs && (one.fromMs < toMs || i === 0))
  }

  /** The zone as the newest revision that has it says; undefined when none has. */
  newestOf(zone: string): ZoneScales | undefined {
    for (const { scales } of this.#revisions.toReversed()) {
      const found = zoneIn(scales, zone)
      if (found !== undefined) return found
    }
    return undefined
  }

  /** Undefined for a channel that never had a sample. */
  channelNumber(name: string): number | undefined {
    return this.#channels.get(name)
  }

  /** How numbers of a channel were read under a revision. */
  siValue(channel: number, revision: number): SiValue {
    const key = `${channel} ${revision}`
    const known = this.#values.get(key)
    if (known !== undefined) return known
    const name = [...this.#channels].find(([, id]) => id === channel)?.[0]
    const scales = this.#revisions.find(({ id }) => id === revision)?.scales
    const value = siValuesOf(scales?.channels.find(({ id }) => id === name))
    this.#values.set(key, value)
    return value
  }

  name(revision: number): string {
    return this.#revisions.find(({ id }) => id === revision)?.revision ?? ''
  }
}

export const zoneIn = ({ zones }: RevisionScales, id: string): ZoneScales | undefined =>
  zones.find(({ zone }) => zone.id === id)
