import { statfsSync, statSync } from 'node:fs'
import { dirname } from 'node:path'
import { type Database, prepared } from './driver.ts'

/** What the disk has left, and what the file has inside itself; null when nobody can tell. */
export function freeBytesOf(db: Database, path: string): number | null {
  try {
    const { bavail, bsize } = statfsSync(dirname(path))
    const { freelist_count: pages } = prepared(db, 'PRAGMA freelist_count').get() as { freelist_count: number }
    return bavail * bsize + pages * 4096
  } catch {
    return null
  }
}

/** Size of the store with what is not yet folded into it; null when it cannot be told. */
export function bytesOf(path: string): number | null {
  try {
    return [path, `${path}-wal`].reduce((sum, one) => sum + (statSync(one, { throwIfNoEntry: false })?.size ?? 0), 0)
  } catch {
    return null
  }
}
