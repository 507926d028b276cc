import { existsSync } from 'node:fs'
import { chmod, copyFile, mkdir, readFile, stat } from 'node:fs/promises'
import { basename, dirname, join } from 'node:path'
import { EvenpullError } from '../../shared/errors.ts'
import { loadConfig } from '../config/load.ts'
import { settingsOf } from '../recorder/settings.ts'
import { type BackedUp, digestOf, MANIFEST_NAME, type Manifest, manifest } from './manifest.ts'

/**
 * Puts a backup back so that `configPath` is its config. Every file is held against its digest before the first is
 * written, and nothing that is there is replaced. Rejects with EVP_NOT_FOUND (no backup there), EVP_STORE_BROKEN (a
 * file was changed), EVP_USAGE (something stands where a file would go); nothing was written then.
 */
export async function restore(folder: string, configPath: string): Promise<Manifest> {
  const made = await readManifest(folder)
  for (const file of made.files) await refuseChanged(folder, file)
  const { config } = await loadConfig(join(folder, made.config))
  const goes = made.files.map((file) => ({
    from: join(folder, file.path),
    to: file.kind === 'store' ? settingsOf(config, configPath).path : placeOf(file, made.config, configPath),
  }))
  const taken = goes.find(({ to }) => existsSync(to))
  if (taken !== undefined)
    throw new EvenpullError('EVP_USAGE', `${taken.to} is there already: nothing was put back`, {
      remedy: 'Name a config file in another folder, or move away what is there.',
    })
  for (const { from, to } of goes) {
    await mkdir(dirname(to), { recursive: true })
    await copyFile(from, to)
    await chmod(to, (await stat(from)).mode & 0o777)
  }
  return made
}

/** A backup of `line.yaml` may be put back as `line-2.yaml`: what carries its name takes the new one. */
function placeOf({ path }: BackedUp, before: string, configPath: string): string {
  const name = basename(configPath)
  const renamed = path
    .split('/')
    .map((part) => (part.startsWith(before) ? name + part.slice(before.length) : part))
    .join('/')
  return join(dirname(configPath), renamed)
}

async function readManifest(folder: string): Promise<Manifest> {
  const path = join(folder, MANIFEST_NAME)
  try {
    return manifest.parse(JSON.parse(await readFile(path, 'utf8')))
  } catch (cause) {
    throw new EvenpullError('EVP_NOT_FOUND', `${folder} holds no backup: ${path} cannot be read as one`, {
      remedy: 'Name the folder that evenpull backup has written.',
      cause,
    })
  }
}

async function refuseChanged(folder: string, { path, sha256 }: BackedUp): Promise<void> {
  const found = await digestOf(join(folder, path)).catch(() => null)
  if (found?.sha256 === sha256) return
  const what = found === null ? 'is missing or cannot be read' : 'is not what was backed up'
  throw new EvenpullError('EVP_STORE_BROKEN', `${join(folder, path)} ${what}: nothing was put back`, {
    remedy: 'Take another backup; this one cannot be trusted.',
  })
}
