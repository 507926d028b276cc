import { type Database, prepared } from './driver.ts'
import { newestTimeMs } from './newest-in-store.ts'
import type { RevisionScales } from './revision-scales.ts'

/** A revision of the config came into force: its number in the store, a new one unless it is the newest anyway. */
export function revisionInForce(db: Database, revision: string, timeMs: number, scales: RevisionScales): number {
  const config = JSON.stringify(scales)
  const newest = prepared(db, 'SELECT id, revision, t, config FROM revision ORDER BY id DESC LIMIT 1').get() as
    | { id: number; revision: string; t: number; config: string }
    | undefined
  if (newest?.revision === revision && newest.config === config) return newest.id
  // After all that was read under the one before, also where the wall clock was set back meanwhile.
  const t = Math.max(Math.floor(timeMs), (newest?.t ?? 0) + 1, Math.floor(newestTimeMs(db) ?? -1) + 1)
  const { lastInsertRowid } = prepared(db, 'INSERT INTO revision (revision, t, config) VALUES (?, ?, ?)').run(
    revision,
    t,
    config,
  )
  return Number(lastInsertRowid)
}
