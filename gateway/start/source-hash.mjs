/** What steps of the set-up were made from, known again by a hash. Plain Node: this runs before anything is installed. */
import { createHash } from 'node:crypto'
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'

export const ROOT = fileURLToPath(new URL('../..', import.meta.url))

/**
 * One hash of files and folders below the root, by name and content.
 * @param {readonly string[]} names a name with an ending is a file, any other a folder
 * @param {(file: string) => boolean} [counts] which files of the folders count; all when absent
 */
export function hashOf(names, counts = () => true) {
  const hash = createHash('sha256')
  for (const file of names.flatMap((name) => filesUnder(name)).filter(counts))
    hash.update(file).update(readFileSync(join(ROOT, file)))
  return hash.digest('hex')
}

function filesUnder(name) {
  const entries = (dir) =>
    readdirSync(join(ROOT, dir), { withFileTypes: true }).flatMap((e) =>
      e.isDirectory() ? entries(`${dir}/${e.name}`) : [`${dir}/${e.name}`],
    )
  return /\.\w+$/.test(name) ? [name] : entries(name).sort()
}
