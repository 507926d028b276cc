import { DatabaseSync } from '@photostructure/sqlite'

/** SQLite as this product uses it: the API that newer versions of Node bring along themselves. */
export type Database = InstanceType<typeof DatabaseSync>

const BUSY_TIMEOUT_MS = 5000

/** The one connection that writes: WAL, and every commit is on the disk when it returns. */
export function openForWriting(path: string): Database {
  const db = new DatabaseSync(path, { timeout: BUSY_TIMEOUT_MS })
  // FULL on purpose: this build of SQLite would be content with NORMAL, which may lose the last commits in a power cut.
  db.exec(`PRAGMA page_size = 4096; PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL;
    PRAGMA journal_size_limit = 16777216; PRAGMA foreign_keys = OFF`)
  return db
}

/** A connection that cannot write, beside the one that does. */
export function openForReading(path: string): Database {
  const db = new DatabaseSync(path, { timeout: BUSY_TIMEOUT_MS })
  db.exec('PRAGMA query_only = ON')
  return db
}

type Statement = ReturnType<Database['prepare']>
const statements = new WeakMap<Database, Map<string, Statement>>()

/**
 * A statement, made once a connection. Each takes some kB outside the heap until it is collected, and nothing hurries
 * that: made anew each time they filled gigabytes. Not for `iterate`, where two readers would share one cursor: that is
 * `iterated`. The texts are those of the source; nothing that comes from outside may stand in one.
 */
export function prepared(db: Database, sql: string): Statement {
  let known = statements.get(db)
  if (known === undefined) {
    known = new Map()
    statements.set(db, known)
  }
  let statement = known.get(sql)
  if (statement === undefined) {
    statement = db.prepare(sql)
    known.set(sql, statement)
  }
  return statement
}

const spare = new WeakMap<Database, Map<string, Statement[]>>()

/** The rows of a statement one by one, each reader with a cursor of its own that the next one uses again. */
export function* iterated<Row>(db: Database, sql: string, ...values: Parameters<Statement['iterate']>): Generator<Row> {
  const known = spare.get(db) ?? new Map<string, Statement[]>()
  spare.set(db, known)
  const idle = known.get(sql) ?? []
  known.set(sql, idle)
  const statement = idle.pop() ?? db.prepare(sql)
  try {
    yield* statement.iterate(...values) as IterableIterator<Row>
  } finally {
    idle.push(statement)
  }
}

/** All of `act`, or nothing. */
export function transaction<T>(db: Database, act: () => T): T {
  db.exec('BEGIN IMMEDIATE')
  try {
    const result = act()
    db.exec('COMMIT')
    return result
  } catch (error) {
    // A full disk may have rolled it back already.
    if (db.isTransaction) db.exec('ROLLBACK')
    throw error
  }
}

/** What went wrong, as far as it matters what is done about it. */
export type StoreFault = 'full' | 'locked' | 'broken' | 'unwritable' | 'other'

/** Primary result codes of SQLite (sqlite.org/rescode.html). */
const FAULTS: Readonly<Record<number, StoreFault>> = {
  5: 'locked', // BUSY
  6: 'locked', // LOCKED
  8: 'unwritable', // READONLY
  10: 'unwritable', // IOERR
  11: 'broken', // CORRUPT
  13: 'full', // FULL
  14: 'unwritable', // CANTOPEN
  26: 'broken', // NOTADB
}
const SYSTEM_FAULTS: Readonly<Record<string, StoreFault>> = {
  ENOSPC: 'full',
  EDQUOT: 'full',
  EROFS: 'unwritable',
  EACCES: 'unwritable',
  EPERM: 'unwritable',
}

/** What sqlite3_errstr says of the same codes: a statement that cannot be prepared brings the words alone. */
const WORDS: readonly (readonly [string, StoreFault])[] = [
  ['disk image is malformed', 'broken'],
  ['file is not a database', 'broken'],
  ['malformed database schema', 'broken'],
  ['database or disk is full', 'full'],
  ['database is locked', 'locked'],
  ['readonly database', 'unwritable'],
  ['disk I/O error', 'unwritable'],
  ['unable to open database', 'unwritable'],
]

export function faultOf(error: unknown): StoreFault {
  const { sqliteCode, code, message } = error as Readonly<{ sqliteCode?: number; code?: string; message?: string }>
  const known = typeof sqliteCode === 'number' ? FAULTS[sqliteCode & 0xff] : SYSTEM_FAULTS[code ?? '']
  return known ?? WORDS.find(([words]) => message?.includes(words))?.[1] ?? 'other'
}
