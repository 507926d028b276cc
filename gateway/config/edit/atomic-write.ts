import { constants } from 'node:fs'
import { access, type FileHandle, open, readdir, readFile, realpath, rename, stat, unlink } from 'node:fs/promises'
import { basename, dirname, join } from 'node:path'
import { EvenpullError } from '../../../shared/errors.ts'

/** Files left by a process that was ended in the middle of a write look like this. */
const tempPattern = (name: string) => new RegExp(`^\\.${name.replace(/[^\w]/g, '\\$&')}\\.evenpull-\\d+-\\d+\\.tmp$`)
let written = 0

/**
 * Replaces the text of an existing file so that a reader, and whoever looks after a power cut, finds the old text
 * or the new one, never a part: written beside it, synced, renamed over it, the folder synced. A link is followed;
 * mode, owner and a byte order mark are kept. The parts of writes that never came to their end are cleared away.
 *
 * `expected` is what the file must still say when it is replaced: else EVP_CONFIG_CHANGED. Throws EVP_CONFIG_WRITE,
 * the file untouched, when it cannot be written.
 */
export async function replaceFile(path: string, expected: Uint8Array, text: string): Promise<void> {
  try {
    const target = await realpath(path)
    await access(target, constants.W_OK)
    await clearLeftovers(target)
    written += 1
    const temp = join(dirname(target), `.${basename(target)}.evenpull-${process.pid}-${written}.tmp`)
    try {
      await writeLike(target, temp, hasMark(expected) ? `\uFEFF${text}` : text)
      // As late as can be: an edit by hand in the meantime must not be lost.
      if (!(await readFile(target)).equals(expected)) throw changedMeanwhile(path)
      await rename(temp, target)
    } catch (error) {
      await unlink(temp).catch(() => {})
      throw error
    }
    await syncFolder(dirname(target))
  } catch (error) {
    throw error instanceof EvenpullError ? error : cannotWrite(path, error)
  }
}

/** Adds a line to the end of a file (made with `mode` when it is not there), synced. What was begun and could not be ended is taken back. */
export async function appendLine(path: string, line: string, mode: number): Promise<void> {
  let file: FileHandle | undefined
  try {
    file = await open(path, 'a+', mode)
    const { size } = await file.stat()
    try {
      // A line that a power cut left open must not swallow this one.
      await file.writeFile((await endsOpen(file, size)) ? `\n${line}\n` : `${line}\n`)
      await file.sync()
    } catch (error) {
      await file.truncate(size).catch(() => {})
      throw error
    }
    if (size === 0) await syncFolder(dirname(path))
  } catch (error) {
    throw cannotWrite(path, error)
  } finally {
    await file?.close()
  }
}

/** Writes a file that nobody reads before it is whole; one that is there already is left as it is. */
export async function writeOnce(path: string, text: string, mode: number): Promise<void> {
  try {
    if (
      await stat(path).then(
        () => true,
        () => false,
      )
    )
      return
    await putWhole(path, text, mode)
  } catch (error) {
    throw cannotWrite(path, error)
  }
}

/** Puts a text in a file's place, whether there was one or not; a reader finds the old one or the new one, never a part. */
export async function putWhole(path: string, text: string, mode: number): Promise<void> {
  written += 1
  const temp = join(dirname(path), `.${basename(path)}.evenpull-${process.pid}-${written}.tmp`)
  try {
    await writeSynced(temp, text, mode)
    await rename(temp, path)
  } catch (error) {
    await unlink(temp).catch(() => {})
    throw error
  }
  await syncFolder(dirname(path))
}

const hasMark = (bytes: Uint8Array) => bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf

async function writeLike(target: string, temp: string, text: string): Promise<void> {
  const { mode, uid, gid } = await stat(target)
  await writeSynced(temp, text, 0o600, async (file) => {
    const made = await file.stat()
    if (made.uid !== uid || made.gid !== gid) await file.chown(uid, gid)
    await file.chmod(mode & 0o7777)
  })
}

async function writeSynced(
  path: string,
  text: string,
  mode: number,
  dress: (file: FileHandle) => Promise<void> = async () => {},
): Promise<void> {
  const file = await open(path, 'wx', mode)
  try {
    await file.writeFile(text)
    await dress(file)
    await file.sync()
  } finally {
    await file.close()
  }
}

async function endsOpen(file: FileHandle, size: number): Promise<boolean> {
  if (size === 0) return false
  const { buffer } = await file.read(Buffer.alloc(1), 0, 1, size - 1)
  return buffer[0] !== 0x0a
}

/** Makes a rename last. Some file systems cannot; the rename holds there as well as it can. */
async function syncFolder(folder: string): Promise<void> {
  const handle = await open(folder, 'r').catch(() => undefined)
  await handle?.sync().catch(() => {})
  await handle?.close()
}

async function clearLeftovers(target: string): Promise<void> {
  const pattern = tempPattern(basename(target))
  const names = (await readdir(dirname(target))).filter((name) => pattern.test(name))
  for (const name of names) await unlink(join(dirname(target), name)).catch(() => {})
}

export function changedMeanwhile(path: string, why = 'another edit was saved meanwhile'): EvenpullError {
  return new EvenpullError('EVP_CONFIG_CHANGED', `${path}: ${why}; nothing was written`)
}

const REASONS: Readonly<Record<string, string>> = {
  ENOSPC: 'the disk is full',
  EDQUOT: "this user's share of the disk is used up",
  EROFS: 'the file system is read-only',
  EACCES: 'this user may not write there',
  EPERM: 'this user may not write there, or could not keep the owner of the file',
  ENOENT: 'it is gone',
  EBUSY: 'it is mounted by itself and cannot be replaced',
}

function cannotWrite(path: string, cause: unknown): EvenpullError {
  if (cause instanceof EvenpullError) return cause
  const code = (cause as NodeJS.ErrnoException).code ?? String(cause)
  return new EvenpullError('EVP_CONFIG_WRITE', `${path} cannot be written: ${REASONS[code] ?? code}`, { cause })
}
