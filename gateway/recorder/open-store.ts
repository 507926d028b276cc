import { existsSync, renameSync } from 'node:fs'
import { DatabaseSync } from '@photostructure/sqlite'
import { EvenpullError } from '../../shared/errors.ts'
import { type Database, faultOf, openForWriting, prepared } from './driver.ts'
import { migrate } from './schema.ts'

export interface OpenedStore {
  readonly db: Database
  /** Where a file that could not be read was put; null usually. */
  readonly setAside: string | null
  close(): void
}

/**
 * Opens the store at `path`, made or brought to this version. A file that is no store, or a broken one, is set aside
 * under another name and a new one begun. Throws EVP_STORE_LOCKED when another process records there, EVP_STORE_NEWER,
 * or EVP_STORE_WRITE; nothing was changed then.
 */
export function openStore(path: string, nowMs: number, isBroken: boolean): OpenedStore {
  const lock = takeLock(path)
  try {
    const { db, setAside } = openOrSetAside(path, nowMs, isBroken)
    return {
      db,
      setAside,
      close: () => {
        foldIn(db)
        db.close()
        lock.close()
      },
    }
  } catch (error) {
    lock.close()
    throw error instanceof EvenpullError ? error : cannotWrite(path, error)
  }
}

function openOrSetAside(path: string, nowMs: number, isBroken: boolean): { db: Database; setAside: string | null } {
  if (!isBroken) {
    try {
      return { db: openSound(path), setAside: null }
    } catch (error) {
      if (faultOf(error) !== 'broken') throw error
    }
  }
  const name = `${path}.broken-${new Date(nowMs).toISOString().replaceAll(':', '')}`
  for (const end of ['', '-wal', '-shm']) if (existsSync(path + end)) renameSync(path + end, name + end)
  return { db: openSound(path), setAside: name }
}

/** One file, for whoever copies it. Statements that are not collected yet would keep the rest beside it. */
function foldIn(db: Database): void {
  try {
    db.exec('PRAGMA wal_checkpoint(TRUNCATE)')
  } catch {
    // A full disk: it is folded in when it is opened next.
  }
}

/** The newest rows are read, too: a file that is broken there must be found before anything is added to it. */
function openSound(path: string): Database {
  const db = openForWriting(path)
  try {
    migrate(db, path)
    prepared(db, 'SELECT * FROM tail ORDER BY id').all()
    for (const table of ['axis', 'chunk', 'event', 'outbox'])
      prepared(db, `SELECT * FROM ${table} ORDER BY 1 DESC LIMIT 3`).all()
    return db
  } catch (error) {
    db.close()
    throw error
  }
}

/**
 * One process a store: a lock that the system gives back however its holder ends. SQLite alone would let two processes
 * write by turns.
 */
function takeLock(path: string): Database {
  const name = `${path}.lock`
  let lock: Database | undefined
  try {
    lock = new DatabaseSync(name, { timeout: 0 })
    lock.exec('PRAGMA journal_mode = MEMORY; BEGIN EXCLUSIVE')
    return lock
  } catch (error) {
    lock?.close()
    if (faultOf(error) === 'locked')
      throw new EvenpullError('EVP_STORE_LOCKED', `${path} is in use: another process records there`)
    throw cannotWrite(path, error)
  }
}

function cannotWrite(path: string, cause: unknown): EvenpullError {
  const message = cause instanceof Error ? cause.message : String(cause)
  return new EvenpullError('EVP_STORE_WRITE', `${path} cannot be written: ${message}`, { cause })
}
