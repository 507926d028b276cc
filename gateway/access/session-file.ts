import { mkdir, readFile } from 'node:fs/promises'
import { basename, dirname, join } from 'node:path'
import { z } from 'zod'
import { putWhole } from '../config/edit/atomic-write.ts'
import { type Session, storedSessions } from './sessions.ts'

/** What this gateway last knew of a user: a change made while it did not run is told when it runs again. */
const seenUser = z.object({
  name: z.string(),
  role: z.string(),
  stamp: z.string(),
  tokenMs: z.number().nullable(),
})
const fileSchema = z.object({ version: z.literal(1), sessions: storedSessions, seen: z.array(seenUser).nullable() })

export type SeenUser = z.output<typeof seenUser>
export interface KeptSessions {
  readonly sessions: readonly Session[]
  /** null: nothing was known yet. */
  readonly seen: readonly SeenUser[] | null
}

/** Sessions belong to one config: a cookie is of one port. */
export const sessionFileOf = (configPath: string): string =>
  join(dirname(configPath), '.evenpull', `${basename(configPath)}.sessions.json`)

/** What was kept; nothing when it cannot be read: everybody then logs in again. */
export async function readSessions(path: string): Promise<KeptSessions> {
  try {
    const parsed = fileSchema.safeParse(JSON.parse(await readFile(path, 'utf8')))
    if (parsed.success) return parsed.data
  } catch {
    // not there, or not ours: as below
  }
  return { sessions: [], seen: null }
}

/** Rejects as the file system does. */
export async function writeSessions(path: string, kept: KeptSessions): Promise<void> {
  await mkdir(dirname(path), { recursive: true, mode: 0o700 }).catch(() => {}) // the write says why
  await putWhole(path, JSON.stringify({ version: 1, ...kept }), 0o600)
}
