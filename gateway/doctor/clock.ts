import { execFile } from 'node:child_process'
import { promisify } from 'node:util'
import { type Finding, look, right, untold } from './finding.ts'

/** Newer than any start of this product could be: a machine whose battery is empty starts in 1970 or 2000. */
const EARLIEST_MS = Date.UTC(2025, 0, 1)
/** So far ahead of the clock a record may lie before it is told: a second of samples is on its way to the disk. */
const AHEAD_MS = 5000
const ASK_MS = 3000

/**
 * Whether the clock can be right. @param newestMs the newest recorded instant, epoch ms; null without a store.
 * @param synchronised whether the system says that its clock follows a time server; null where it does not say.
 */
export function judgeClock(nowMs: number, newestMs: number | null, synchronised: boolean | null): Finding {
  const what = 'the clock'
  const now = `it says ${new Date(nowMs).toISOString()}`
  const set = 'Set the clock, or let it follow a time server, before anything is recorded.'
  if (nowMs < EARLIEST_MS) return look(what, `${now}, which cannot be`, set)
  if (newestMs !== null && newestMs > nowMs + AHEAD_MS)
    return look(what, `${now}, but there are records until ${new Date(newestMs).toISOString()}`, set)
  if (synchronised === false) return look(what, `${now}; it follows no time server`, set)
  if (synchronised === null) return untold(what, `${now}; this system does not say whether it follows a time server`)
  return right(what, `${now}; it follows a time server`)
}

/** What the system says of its clock; null where there is no `timedatectl` or it does not say. */
export async function isSynchronised(): Promise<boolean | null> {
  try {
    const args = ['show', '--property=NTPSynchronized', '--value']
    const { stdout } = await promisify(execFile)('timedatectl', args, { timeout: ASK_MS })
    const said = stdout.trim()
    return said === 'yes' ? true : said === 'no' ? false : null
  } catch {
    return null
  }
}
