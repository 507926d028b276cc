import { open, readFile, stat, unlink } from 'node:fs/promises'
import { markOf, type Processes, runningWith } from '../../shared/process-mark.ts'

const TRY_EVERY_MS = 20
/** Who holds it longer than this has been forgotten by his machine. */
const STALE_MS = 30_000

const PROCESSES: Processes = {
  signal: (pid) => process.kill(pid, 0),
  stat: (pid) => readFile(`/proc/${pid}/stat`, 'utf8').catch(() => null),
}

/**
 * Runs `act` while no other process does so under the same lock file. A lock whose holder has ended is taken over.
 * Rejects after `patienceMs`, saying who holds it.
 */
export async function withFileLock<T>(path: string, act: () => Promise<T>, patienceMs = 5000): Promise<T> {
  const untilMs = performance.now() + patienceMs
  while (!(await taken(path))) {
    if (await isStale(path)) await unlink(path).catch(() => {})
    else if (performance.now() > untilMs) throw new Error(`${path} is held by another process`)
    else await new Promise((resolve) => setTimeout(resolve, TRY_EVERY_MS))
  }
  try {
    return await act()
  } finally {
    await unlink(path).catch(() => {})
  }
}

async function taken(path: string): Promise<boolean> {
  const mark = await markOf(process.pid, PROCESSES)
  try {
    const file = await open(path, 'wx', 0o600)
    await file.writeFile(mark)
    await file.close()
    return true
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EEXIST') return false
    throw error
  }
}

async function isStale(path: string): Promise<boolean> {
  try {
    const [text, { mtimeMs }] = await Promise.all([readFile(path, 'utf8'), stat(path)])
    // A holder that has not written its mark yet has none.
    return Date.now() - mtimeMs > STALE_MS || (text !== '' && (await runningWith(text, PROCESSES)) === null)
  } catch {
    return false // gone meanwhile: the next try takes it
  }
}
