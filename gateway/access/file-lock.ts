import { open, readFile, stat, unlink } from 'node:fs/promises'

const TRY_EVERY_MS = 20
/** Who holds it longer than this has been forgotten by his machine. */
const STALE_MS = 30_000

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
  try {
    const file = await open(path, 'wx', 0o600)
    await file.writeFile(String(process.pid))
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
    return Date.now() - mtimeMs > STALE_MS || (/^\d+$/.test(text) && !isAlive(Number(text)))
  } catch {
    return false // gone meanwhile: the next try takes it
  }
}

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0)
    return true
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM'
  }
}
