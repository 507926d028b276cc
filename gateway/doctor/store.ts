import { existsSync } from 'node:fs'
import { TICKS_PER_MS } from '../../lib/store-codec/times.ts'
import { type Database, openForReading } from '../recorder/driver.ts'
import { STORE_VERSION, versionOf } from '../recorder/schema.ts'
import { type Finding, reasonOf, right, untold, wrong } from './finding.ts'

export interface StoreLook {
  readonly finding: Finding
  /** Newest recorded instant, epoch ms; null where there is none. */
  readonly newestMs: number | null
}

/** Whether what was recorded can be read. It is only read; a gateway may be recording meanwhile. */
export function lookAtStore(path: string): StoreLook {
  const what = 'what was recorded'
  if (!existsSync(path)) return { finding: untold(what, 'nothing yet'), newestMs: null }
  try {
    const db = openForReading(path)
    try {
      return { finding: soundness(what, path, db), newestMs: newestOf(db) }
    } finally {
      db.close()
    }
  } catch (error) {
    const remedy = 'Start the gateway: it sets a broken store aside and begins a new one; or bring a backup back.'
    return { finding: wrong(what, `${path} cannot be read: ${reasonOf(error)}`, remedy), newestMs: null }
  }
}

function soundness(what: string, path: string, db: Database): Finding {
  const version = versionOf(db)
  if (version > STORE_VERSION)
    return wrong(what, `${path} was written by a newer version`, 'Run the version that wrote it.')
  const { quick_check: said } = db.prepare('PRAGMA quick_check(1)').get() as { quick_check: string }
  if (said !== 'ok') return wrong(what, `${path} is damaged: ${said}`, 'Stop the gateway and bring a backup back.')
  return right(what, `${path} is sound`)
}

/** The newest of what is asked without reading the whole. */
function newestOf(db: Database): number | null {
  const newest = `SELECT max(t) AS t FROM (SELECT max(t1) AS t FROM (SELECT t1 FROM axis ORDER BY t0 DESC LIMIT 500)
    UNION ALL SELECT max(t1) FROM tail)`
  const { t } = db.prepare(newest).get() as { t: number | null }
  return t === null ? null : t / TICKS_PER_MS
}
