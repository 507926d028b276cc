import { type Database, prepared } from './driver.ts'

/** The numbers that stand for the names of channels in the store; a name that is new gets the next. */
export class ChannelNumbers {
  readonly #db: Database
  readonly #known: Map<string, number>

  constructor(db: Database) {
    this.#db = db
    const rows = prepared(db, 'SELECT id, name FROM channel').all() as { id: number; name: string }[]
    this.#known = new Map(rows.map(({ id, name }) => [name, id]))
  }

  of(name: string): number {
    const known = this.#known.get(name)
    if (known !== undefined) return known
    const { lastInsertRowid } = prepared(this.#db, 'INSERT INTO channel (name) VALUES (?)').run(name)
    const number = Number(lastInsertRowid)
    this.#known.set(name, number)
    return number
  }
}
