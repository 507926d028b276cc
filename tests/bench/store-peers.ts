/** What a store could be instead, on the same samples: a row a sample in SQLite, and DuckDB. */
import { execFileSync } from 'node:child_process'
import { existsSync, mkdirSync, statSync } from 'node:fs'
import { createRequire } from 'node:module'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { openForWriting, transaction } from '../../gateway/recorder/driver.ts'
import type { SecondOfSamples } from './store.ts'

export interface PeerResult {
  readonly coreSeconds: number
  readonly bytes: number
}

const sizeOf = (path: string) =>
  [path, `${path}-wal`, `${path}.wal`].reduce((sum, one) => sum + (existsSync(one) ? statSync(one).size : 0), 0)

const coreSeconds = () => {
  const { user, system } = process.cpuUsage()
  return (user + system) / 1e6
}

/** `sample(channel, t, raw, code)`, durable each second. */
export function rowPerSample(folder: string, seconds: number, secondOf: (s: number) => SecondOfSamples): PeerResult {
  const path = join(folder, 'rows.sqlite')
  const db = openForWriting(path)
  db.exec(
    'CREATE TABLE sample (channel INTEGER, t INTEGER, raw INTEGER, code INTEGER, PRIMARY KEY (channel, t)) WITHOUT ROWID',
  )
  const insert = db.prepare('INSERT INTO sample VALUES (?, ?, ?, ?)')
  const before = coreSeconds()
  for (let s = 0; s < seconds; s++) {
    const columns = secondOf(s)
    transaction(db, () => {
      for (const [channel, { ticks, raws, codes }] of columns.entries())
        for (let i = 0; i < ticks.length; i++) insert.run(channel, ticks[i], raws[i], codes[i])
    })
  }
  const used = coreSeconds() - before
  db.exec('PRAGMA wal_checkpoint(TRUNCATE)')
  db.close()
  return { coreSeconds: used, bytes: sizeOf(path) }
}

interface DuckAppender {
  appendInteger(value: number): void
  appendBigInt(value: bigint): void
  endRow(): void
  flushSync(): void
  closeSync(): void
}
interface DuckConnection {
  run(sql: string): Promise<unknown>
  createAppender(table: string): Promise<DuckAppender>
  closeSync(): void
}

/** DuckDB's appender, a checkpointed transaction a second. Throws with why when the package cannot be had. */
export async function duckdb(
  folder: string,
  seconds: number,
  secondOf: (s: number) => SecondOfSamples,
): Promise<PeerResult> {
  const { DuckDBInstance } = loadDuckdb()
  const path = join(folder, 'rows.duckdb')
  const instance = await DuckDBInstance.create(path, { threads: '1' })
  const connection = await instance.connect()
  await connection.run('CREATE TABLE sample (channel INTEGER, t BIGINT, raw INTEGER, code INTEGER)')
  const before = coreSeconds()
  for (let s = 0; s < seconds; s++) {
    await connection.run('BEGIN')
    const appender = await connection.createAppender('sample')
    for (const [channel, { ticks, raws, codes }] of secondOf(s).entries())
      for (let i = 0; i < ticks.length; i++) {
        appender.appendInteger(channel)
        appender.appendBigInt(BigInt(ticks[i] ?? 0))
        appender.appendInteger(raws[i] ?? 0)
        appender.appendInteger(codes[i] ?? 0)
        appender.endRow()
      }
    appender.closeSync()
    await connection.run('COMMIT')
  }
  const used = coreSeconds() - before
  await connection.run('CHECKPOINT')
  connection.closeSync()
  return { coreSeconds: used, bytes: sizeOf(path) }
}

interface DuckModule {
  readonly DuckDBInstance: {
    create(path: string, options: Record<string, string>): Promise<{ connect(): Promise<DuckConnection> }>
  }
}

/** Installed once, for this bench alone, outside the product's own packages. */
function loadDuckdb(): DuckModule {
  const folder = fileURLToPath(new URL('../../.build/bench-duckdb/', import.meta.url))
  const require = createRequire(join(folder, 'index.js'))
  try {
    return require('@duckdb/node-api') as DuckModule
  } catch {
    mkdirSync(folder, { recursive: true })
    const options = ['--prefix', folder, '--no-audit', '--no-fund', '--loglevel', 'error']
    execFileSync('npm', ['install', ...options, '@duckdb/node-api'], { stdio: 'pipe', timeout: 180_000 })
    return require('@duckdb/node-api') as DuckModule
  }
}
