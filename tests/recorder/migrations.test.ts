import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { type Database, openForWriting } from '../../gateway/recorder/driver.ts'
import { scalesOf } from '../../gateway/recorder/scales-of-config.ts'
import { migrate, STORE_VERSION, versionOf } from '../../gateway/recorder/schema.ts'
import { StoreReader } from '../../gateway/recorder/store-reader.ts'
import { encodeBlock } from '../../lib/store-codec/block.ts'
import { encodeColumn } from '../../lib/store-codec/column.ts'
import { encodeTimes } from '../../lib/store-codec/times.ts'
import { countsOf, madeColumn, madeConfig, madeFolder, openWriter, readAll, START_MS } from './support/made-store.ts'

/** What a store of the first form holds. */
function firstForm(db: Database): void {
  const config = JSON.stringify(scalesOf(madeConfig()))
  const sealed = madeColumn('ds', START_MS, 1000, [countsOf(100), null, countsOf(102)])
  const open = madeColumn('ds', START_MS + 3000, 1000, [countsOf(103)])
  db.exec("INSERT INTO channel VALUES (1, 'ds')")
  db.prepare("INSERT INTO revision VALUES (1, 'aaaaaaaaaaaa', ?, ?)").run(START_MS, config)
  const [t0, t1] = [sealed.ticks[0] ?? 0, sealed.ticks[2] ?? 0]
  db.prepare('INSERT INTO axis VALUES (1, ?, ?, 3, ?)').run(t0, t1, encodeTimes(sealed.ticks))
  db.prepare('INSERT INTO chunk VALUES (1, 1, ?, ?, 1, 1, 3, ?)').run(t0, t1, encodeColumn(sealed))
  db.prepare('INSERT INTO rollup VALUES (10, 1, ?, 2, 100, 102, 202, 20404)').run(START_MS / 1000)
  const tail = encodeBlock([{ ...open, channel: 1, revision: 1 }])
  db.prepare('INSERT INTO tail VALUES (1, ?, ?, 1, ?)').run(open.ticks[0], open.ticks[0], tail)
  db.prepare("INSERT INTO event VALUES (7, ?, 'note', 'z', 'Ada', 'Felt changed.', '{}')").run(START_MS)
  db.prepare("INSERT INTO document VALUES ('baseline', 'a', ?, '{\"x\":1}')").run(START_MS)
  db.prepare("INSERT INTO outbox VALUES (3, ?, 't', 'b')").run(START_MS)
}

/**
 * A store as each version left it, written by plain SQL: never by the code of today, which would make today's form of it.
 * A new version adds its maker here.
 */
const MAKERS: Readonly<Record<number, (db: Database) => void>> = {
  1: firstForm,
  2: (db) => {
    firstForm(db)
    db.exec('UPDATE size SET bytes = (SELECT sum(length(data)) FROM chunk) + (SELECT sum(length(data)) FROM axis)')
    db.exec("INSERT INTO protected VALUES ('verification-1', 'z', 1, 0, 1)")
  },
}

let folder: ReturnType<typeof madeFolder>
let path: string
beforeEach(() => {
  folder = madeFolder()
  path = join(folder.path, 'line.sqlite')
})
afterEach(() => folder.remove())

describe('a store of an older version', () => {
  it('has a maker for every version before this one', () => {
    expect(Object.keys(MAKERS).map(Number)).toEqual(Array.from({ length: STORE_VERSION - 1 }, (_, i) => i + 1))
  })

  it.each(Object.keys(MAKERS).map(Number))('%i is brought to this one with everything that was in it', (version) => {
    const db = openForWriting(path)
    migrate(db, path, version)
    expect(versionOf(db)).toBe(version)
    MAKERS[version]?.(db)
    db.close()

    const writer = openWriter(path)
    expect(writer.found).toEqual({ newestMs: START_MS + 3000, lastEventId: 7, setAside: null })
    writer.seal()
    writer.samples([madeColumn('ds', START_MS + 20_000, 1000, [countsOf(104)])])
    const reader = new StoreReader(path)
    const values = readAll(reader, START_MS, START_MS + 60_000).flatMap((block) => [...(block.values[0] ?? [])])
    expect(values).toEqual([100, Number.NaN, 102, 103, 104])
    expect(reader.history('z', START_MS, START_MS + 60_000, 3)?.series.drive_side?.n).toEqual([3, 1, 0])
    expect(reader.events({ limit: 5 }).events.map(({ id }) => id)).toEqual([7])
    expect(reader.document('baseline', 'a')?.body).toBe('{"x":1}')
    expect(writer.appendOutbox([{ timeMs: START_MS, topic: 't', body: 'c' }])).toBe(4)
    for (const { kind, bytes } of writer.kept()) expect([kind, bytes > 0]).toEqual([kind, kind !== 'minutes'])
    reader.close()
    writer.close()
  })
})

describe('a store of a newer version', () => {
  it('is refused and left as it is', () => {
    const db = openForWriting(path)
    migrate(db, path)
    db.exec(`PRAGMA user_version = ${STORE_VERSION + 1}`)
    db.close()
    expect(() => openWriter(path)).toThrow(expect.objectContaining({ code: 'EVP_STORE_NEWER' }))
    const after = openForWriting(path)
    expect(versionOf(after)).toBe(STORE_VERSION + 1)
    after.close()
  })
})
