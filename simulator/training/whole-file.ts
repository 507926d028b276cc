import { mkdir, open, readFile, rename } from 'node:fs/promises'
import { basename, dirname, join } from 'node:path'

let written = 0

/**
 * Puts a file there whole or not at all, also when the process is killed or the power fails: written beside it, synced,
 * renamed over it, the folder synced. Only its owner may read it. Rejects as the file system does.
 */
export async function putWhole(path: string, text: string): Promise<void> {
  const folder = dirname(path)
  await mkdir(folder, { recursive: true, mode: 0o755 })
  written += 1
  const temporary = join(folder, `.${basename(path)}.${process.pid}-${written}.tmp`)
  const file = await open(temporary, 'w', 0o600)
  try {
    await file.writeFile(text)
    await file.sync()
  } finally {
    await file.close()
  }
  await rename(temporary, path)
  const held = await open(folder, 'r')
  try {
    await held.sync()
  } finally {
    await held.close()
  }
}

/** Text of a file; null where there is none. */
export async function readIfThere(path: string): Promise<string | null> {
  try {
    return await readFile(path, 'utf8')
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return null
    throw error
  }
}
