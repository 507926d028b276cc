import { readFileSync, watch as watchFolder } from 'node:fs'
import { stat } from 'node:fs/promises'
import { basename, dirname } from 'node:path'
import { EvenpullError } from '../../shared/errors.ts'
import { ConfigErrors } from './errors.ts'
import { type LoadedConfig, parseConfig, readConfigText, revisionOf } from './load.ts'
import { decodeUtf8 } from './utf8.ts'

export interface ConfigWatchHandlers {
  /** The file says something new and right. After a refused edit was undone, that may be what runs already. */
  applied(loaded: LoadedConfig): void
  /** The file says something new and wrong (or is gone); what runs keeps running. Said once for each text. */
  refused(errors: readonly EvenpullError[]): void
}

export interface ConfigWatchOptions {
  /** Revision in force, so that an edit between load and watch is not lost; else what the file says now. */
  readonly revision?: string
  /** The file must have been left alone this long before it is read. */
  readonly settleMs?: number
  /** How often the file is looked at where the system does not tell (network folders, mounted volumes). */
  readonly pollMs?: number
}

/** Pause before a missing file is looked for again, and how often: editors replace a file by renaming. */
const MISSING_RETRIES = 4

/**
 * Watches a config file and hands over what it says, once it has settled. Handlers are never called
 * after `stop`, nor two at a time, nor with a half-written file as long as its writer does not
 * pause longer than `settleMs`.
 */
export function watchConfig(
  path: string,
  handlers: ConfigWatchHandlers,
  options: ConfigWatchOptions = {},
): { stop(): void } {
  const { settleMs = 150, pollMs = 1000 } = options
  let stopped = false
  let settling: NodeJS.Timeout | undefined
  let seen: string | null = null
  let said = options.revision ?? revisionNow(path)
  let reading = false
  let again = false

  const changed = () => {
    clearTimeout(settling)
    if (!stopped) settling = setTimeout(() => void read(), settleMs)
  }

  async function read(): Promise<void> {
    if (reading) {
      again = true
      return
    }
    reading = true
    const outcome = await readOutcome(path, settleMs)
    reading = false
    if (stopped) return
    if (outcome.id !== said) {
      said = outcome.id
      outcome.tell(handlers)
    }
    if (again) {
      again = false
      changed()
    }
  }

  async function look(): Promise<void> {
    const mark = await fileMark(path)
    if (mark !== seen) changed()
    seen = mark
  }

  const polling = setInterval(() => void look(), pollMs)
  const told = watchFolderOf(path, changed)
  void look()
  return {
    stop() {
      stopped = true
      clearTimeout(settling)
      clearInterval(polling)
      told?.close()
    },
  }
}

function revisionNow(path: string): string | null {
  try {
    return revisionOf(decodeUtf8(readFileSync(path), path))
  } catch {
    return null // what is wrong with it is told by the first look
  }
}

/** What a file says, by an id that is the same for the same text. */
interface Outcome {
  readonly id: string
  tell(handlers: ConfigWatchHandlers): void
}

async function readOutcome(path: string, pauseMs: number): Promise<Outcome> {
  let text = ''
  try {
    text = await readPatiently(path, pauseMs)
    const loaded = parseConfig(text, path)
    return { id: loaded.revision, tell: (handlers) => handlers.applied(loaded) }
  } catch (error) {
    const errors = error instanceof ConfigErrors ? error.errors : [asInternal(error)]
    const id = text === '' ? errors.map((e) => e.message).join('\n') : revisionOf(text)
    return { id, tell: (handlers) => handlers.refused(errors) }
  }
}

async function readPatiently(path: string, pauseMs: number): Promise<string> {
  for (let attempt = 0; ; attempt++) {
    try {
      return await readConfigText(path)
    } catch (error) {
      const missing = error instanceof EvenpullError && error.code === 'EVP_CONFIG_NOT_FOUND'
      if (!missing || attempt === MISSING_RETRIES) throw error
      await new Promise((resolve) => setTimeout(resolve, pauseMs))
    }
  }
}

const asInternal = (cause: unknown) =>
  new EvenpullError('EVP_INTERNAL', `the config could not be read: ${String(cause)}`, { cause })

/** Changes with every change of the file; follows links, so that a swapped link counts too. */
async function fileMark(path: string): Promise<string> {
  try {
    const { ino, size, mtimeMs, ctimeMs } = await stat(path)
    return [ino, size, mtimeMs, ctimeMs].join(' ')
  } catch {
    return 'missing'
  }
}

/** The folder is watched, not the file: a file that is replaced by renaming is another file. */
function watchFolderOf(path: string, changed: () => void): { close(): void } | null {
  const name = basename(path)
  try {
    const watcher = watchFolder(dirname(path), { persistent: false }, (_, file) => {
      if (file === null || file === name) changed()
    })
    watcher.on('error', () => watcher.close()) // the polling goes on
    return watcher
  } catch {
    return null
  }
}
