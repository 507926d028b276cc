/**
 * `npm run licences [-- --all]`: the licence of every package that is installed with this one, from the lock file; with
 * --all also those that only build and tests need. Exit code 1 when one does not say.
 */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'

const ROOT = fileURLToPath(new URL('../..', import.meta.url))

/** Packages of the lock file with their licences, by name. @returns {{ name: string, version: string, licence: string | null, dev: boolean }[]} */
export function licences() {
  const { packages } = JSON.parse(readFileSync(join(ROOT, 'package-lock.json'), 'utf8'))
  return Object.entries(packages)
    .filter(([path]) => path !== '')
    .map(([path, { version, license, dev = false, devOptional = false }]) => ({
      name: path.slice(path.lastIndexOf('node_modules/') + 'node_modules/'.length),
      version,
      licence: license ?? null,
      dev: dev || devOptional,
    }))
    .sort((a, b) => (a.name < b.name ? -1 : 1))
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const all = process.argv.includes('--all')
  const listed = licences().filter(({ dev }) => all || !dev)
  for (const { name, version, licence } of listed) console.log(`${licence ?? 'not told'}\t${name} ${version}`)
  console.log(`${listed.length} packages`)
  process.exitCode = listed.some(({ licence }) => licence === null) ? 1 : 0
}
