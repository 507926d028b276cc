import { createHash } from 'node:crypto'
import { createReadStream } from 'node:fs'
import { z } from 'zod'

/** What a backup folder holds, in `manifest.json`: written last, so that a folder without one is no backup. */
export const manifest = z.object({
  format: z.literal('evenpull-backup/1'),
  software: z.string(),
  madeAt: z.iso.datetime(),
  /** Name of the config file it was made of. */
  config: z.string(),
  files: z.array(
    z.object({
      /** Within the folder, with /. */
      path: z.string(),
      kind: z.enum(['config', 'revisions', 'users', 'alarms', 'training', 'store']),
      bytes: z.int().min(0),
      sha256: z.string(),
    }),
  ),
  /** Files that the config names and that are not in it, because they hold keys or passwords, or recordings. */
  notInIt: z.array(z.string()),
})
export type Manifest = z.infer<typeof manifest>
export type BackedUp = Manifest['files'][number]

export const MANIFEST_NAME = 'manifest.json'

/** SHA-256 of a file, hex, and its size. */
export async function digestOf(path: string): Promise<{ sha256: string; bytes: number }> {
  const hash = createHash('sha256')
  let bytes = 0
  for await (const chunk of createReadStream(path) as AsyncIterable<Buffer>) {
    hash.update(chunk)
    bytes += chunk.length
  }
  return { sha256: hash.digest('hex'), bytes }
}
