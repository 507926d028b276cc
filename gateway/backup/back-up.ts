import { chmod, copyFile, mkdir, open, readdir, stat, writeFile } from 'node:fs/promises'
import { basename, dirname, join } from 'node:path'
import { DatabaseSync } from '@photostructure/sqlite'
import { EvenpullError } from '../../shared/errors.ts'
import { loadConfig } from '../config/load.ts'
import { VERSION } from '../version.ts'
import { type BackedUp, digestOf, MANIFEST_NAME, type Manifest } from './manifest.ts'
import { namedFiles, type Part, partsOf } from './parts.ts'

/**
 * Copies everything that belongs to the gateway of a config into `folder`, which must be new or empty. The gateway may
 * be recording meanwhile: the store is copied as it is at one moment. Rejects with EVP_USAGE for a folder that is not
 * empty, EVP_STORE_WRITE when something cannot be written (the folder is then no backup: it has no manifest), and what
 * `loadConfig` rejects with.
 */
export async function backUp(configPath: string, folder: string, nowMs: number): Promise<Manifest> {
  const { config } = await loadConfig(configPath)
  await refuseFull(folder)
  try {
    const files: BackedUp[] = []
    for (const part of partsOf(config, configPath)) files.push(await copied(part, folder))
    const made: Manifest = {
      format: 'evenpull-backup/1',
      software: VERSION,
      madeAt: new Date(nowMs).toISOString(),
      config: basename(configPath),
      files,
      notInIt: namedFiles(config, configPath),
    }
    await writeSynced(join(folder, MANIFEST_NAME), `${JSON.stringify(made, null, 2)}\n`)
    return made
  } catch (cause) {
    throw new EvenpullError('EVP_STORE_WRITE', `the backup in ${folder} was broken off: ${(cause as Error).message}`, {
      remedy: 'See to space and rights where the backup goes, remove what was begun there, and make it again.',
      cause,
    })
  }
}

async function refuseFull(folder: string): Promise<void> {
  const names = await readdir(folder).catch((error: NodeJS.ErrnoException) => {
    if (error.code === 'ENOENT') return []
    const why = error.code === 'ENOTDIR' ? 'it is a file; a backup goes into a folder of its own' : error.message
    throw new EvenpullError('EVP_USAGE', `${folder} cannot be used: ${why}`, { cause: error })
  })
  if (names.length > 0)
    throw new EvenpullError('EVP_USAGE', `${folder} is not empty: a backup goes into a folder of its own`)
}

async function copied({ kind, from, path }: Part, folder: string): Promise<BackedUp> {
  const to = join(folder, path)
  await mkdir(dirname(to), { recursive: true })
  if (kind === 'store') copyStore(from, to)
  else await copyFile(from, to)
  await chmod(to, (await stat(from)).mode & 0o777)
  await sync(to)
  return { path, kind, ...(await digestOf(to)) }
}

/** One moment of the store, packed; a writer beside it goes on. */
function copyStore(from: string, to: string): void {
  const db = new DatabaseSync(from, { readOnly: true, timeout: 30_000 })
  try {
    db.prepare('VACUUM INTO ?').run(to)
  } finally {
    db.close()
  }
}

async function sync(path: string): Promise<void> {
  const file = await open(path, 'r')
  try {
    await file.sync()
  } finally {
    await file.close()
  }
}

async function writeSynced(path: string, text: string): Promise<void> {
  await writeFile(path, text)
  await sync(path)
}
