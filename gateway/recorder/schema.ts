import { EvenpullError } from '../../shared/errors.ts'
import { type Database, prepared, transaction } from './driver.ts'
import { BYTES_A_ROLL_UP, BYTES_BESIDE } from './sizes.ts'

/**
 * How the store came to look as it does: a step a version, run one after another from the version the file has. A step
 * that was in a release is never changed; what it lacks is a new step.
 *
 * Times: `tail`, `axis`, `chunk` and `protected` in ticks (0.1 ms), `rollup` in seconds, everything else in milliseconds, since 1970.
 * `rollup` holds good samples alone, in SI units.
 */
const STEPS: readonly string[] = [
  `CREATE TABLE channel (id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE);
   CREATE TABLE revision (id INTEGER PRIMARY KEY, revision TEXT NOT NULL, t INTEGER NOT NULL, config TEXT NOT NULL);
   CREATE TABLE tail (id INTEGER PRIMARY KEY, t0 INTEGER NOT NULL, t1 INTEGER NOT NULL, n INTEGER NOT NULL, data BLOB NOT NULL);
   CREATE TABLE axis (id INTEGER PRIMARY KEY, t0 INTEGER NOT NULL, t1 INTEGER NOT NULL, n INTEGER NOT NULL, data BLOB NOT NULL);
   CREATE TABLE chunk (id INTEGER PRIMARY KEY, channel INTEGER NOT NULL, t0 INTEGER NOT NULL, t1 INTEGER NOT NULL,
     axis INTEGER NOT NULL, revision INTEGER NOT NULL, n INTEGER NOT NULL, data BLOB NOT NULL);
   CREATE INDEX chunk_by_time ON chunk (channel, t0, t1);
   CREATE INDEX chunk_by_axis ON chunk (axis);
   CREATE INDEX axis_by_time ON axis (t0);
   CREATE TABLE rollup (level INTEGER NOT NULL, channel INTEGER NOT NULL, t INTEGER NOT NULL, n INTEGER NOT NULL,
     min REAL NOT NULL, max REAL NOT NULL, sum REAL NOT NULL, sumsq REAL NOT NULL,
     PRIMARY KEY (level, channel, t)) WITHOUT ROWID;
   CREATE TABLE minute (zone TEXT NOT NULL, t INTEGER NOT NULL, good INTEGER NOT NULL, total REAL, imbalance REAL,
     residual REAL, body TEXT NOT NULL, PRIMARY KEY (zone, t)) WITHOUT ROWID;
   CREATE TABLE event (id INTEGER PRIMARY KEY AUTOINCREMENT, t INTEGER NOT NULL, kind TEXT NOT NULL, zone TEXT, who TEXT,
     text TEXT NOT NULL, data TEXT NOT NULL);
   CREATE INDEX event_by_time ON event (t);
   CREATE INDEX event_by_kind ON event (kind, id);
   CREATE TABLE document (kind TEXT NOT NULL, id TEXT NOT NULL, t INTEGER NOT NULL, body TEXT NOT NULL,
     PRIMARY KEY (kind, id)) WITHOUT ROWID;
   CREATE TABLE outbox (seq INTEGER PRIMARY KEY AUTOINCREMENT, t INTEGER NOT NULL, topic TEXT NOT NULL, body TEXT NOT NULL)`,
  // What must outlive every limit of age and size, and how much the samples take without counting them anew.
  `CREATE TABLE protected (name TEXT NOT NULL, zone TEXT NOT NULL, channel INTEGER NOT NULL, t0 INTEGER NOT NULL,
     t1 INTEGER NOT NULL, PRIMARY KEY (name, channel)) WITHOUT ROWID;
   CREATE TABLE size (kind TEXT PRIMARY KEY, bytes INTEGER NOT NULL) WITHOUT ROWID;
   INSERT INTO size VALUES ('samples', (SELECT coalesce(sum(length(data)), 0) FROM chunk)
     + (SELECT coalesce(sum(length(data)), 0) FROM axis))`,
  // The same of everything else that has a limit: counting it anew would take minutes in a store of years.
  `INSERT INTO size VALUES
     ('roll_ups', (SELECT count(*) * ${BYTES_A_ROLL_UP} FROM rollup WHERE level = 10)),
     ('minutes', (SELECT coalesce(sum(length(body) + ${BYTES_BESIDE}), 0) FROM minute)),
     ('events', (SELECT coalesce(sum(length(text) + length(data) + ${BYTES_BESIDE}), 0) FROM event)),
     ('outbox', (SELECT coalesce(sum(length(topic) + length(body) + ${BYTES_BESIDE}), 0) FROM outbox))`,
]

export const STORE_VERSION = STEPS.length

/**
 * Brings a store to this version, each step whole or not at all. Throws EVP_STORE_NEWER, the file untouched. Tests stop
 * at an older version.
 */
export function migrate(db: Database, path: string, to = STORE_VERSION): void {
  const from = versionOf(db)
  if (from > STORE_VERSION)
    throw new EvenpullError(
      'EVP_STORE_NEWER',
      `${path} was written by a newer version (its form ${from}, this version knows ${STORE_VERSION})`,
    )
  for (let version = from; version < to; version++)
    transaction(db, () => {
      db.exec(STEPS[version] ?? '')
      db.exec(`PRAGMA user_version = ${version + 1}`)
    })
}

export function versionOf(db: Database): number {
  return (prepared(db, 'PRAGMA user_version').get() as { user_version: number }).user_version
}
