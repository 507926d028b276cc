import { type Database, prepared } from './driver.ts'

/**
 * Newest time in the store, epoch ms; null in an empty one. A roll-up counts by its beginning: by its end, a quick
 * restart would find itself before the newest record. Events do not count: a note may be about any time.
 */
export function newestTimeMs(db: Database): number | null {
  const newest = prepared(
    db,
    `SELECT max(t) AS t FROM (
      SELECT max(t1) / 10.0 AS t FROM (SELECT t1 FROM axis ORDER BY t0 DESC LIMIT 500)
      UNION ALL SELECT max(t1) / 10.0 FROM tail
      UNION ALL SELECT max((SELECT max(t) * 1000.0 FROM rollup WHERE level = 10 AND channel = c.id)) FROM channel c)`,
  ).get() as { t: number | null }
  return newest.t
}

/** The highest number that an event ever had, also one that has been let go of; 0 when there was none. */
export function lastEventIdOf(db: Database): number {
  const last = prepared(
    db,
    `SELECT max(coalesce((SELECT max(id) FROM event), 0),
      coalesce((SELECT seq FROM sqlite_sequence WHERE name = 'event'), 0)) AS id`,
  ).get() as { id: number }
  return last.id
}
