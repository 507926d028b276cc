/**
 * `node gateway/start/make-ahead.mjs [--keep N]`: makes the gateway's JavaScript ahead, into a folder named by the hash
 * of the sources. A module goes on to find its files where its source stands: `import.meta.url` is that of the source.
 * A program of its own, because the compiler leaves a process behind with whoever calls it.
 */
import { existsSync, mkdirSync, readdirSync, renameSync, rmSync, statSync } from 'node:fs'
import { readFile } from 'node:fs/promises'
import { basename, dirname, join, relative } from 'node:path'
import { parseArgs } from 'node:util'
import { build } from 'esbuild'
import { ENTRIES, madeAheadFolder } from './load-source.mjs'
import { ROOT } from './source-hash.mjs'

/** A gateway that runs may still load from the folder it was started from. */
const KEPT = '3'

async function make(folder) {
  // Whole or not at all: a folder that is there is complete.
  const unfinished = `${folder}.${process.pid}`
  try {
    await build({
      absWorkingDir: ROOT,
      entryPoints: ENTRIES,
      outdir: unfinished,
      outbase: '.',
      outExtension: { '.js': '.mjs' },
      bundle: true,
      splitting: true,
      packages: 'external',
      format: 'esm',
      platform: 'node',
      target: 'node20.9',
      keepNames: true,
      logLevel: 'silent',
      plugins: [sourceAddresses],
    })
    if (!existsSync(folder)) renameSync(unfinished, folder)
  } finally {
    rmSync(unfinished, { recursive: true, force: true })
  }
}

/** @type {import('esbuild').Plugin} */
const sourceAddresses = {
  name: 'addresses of sources',
  setup(build) {
    build.onLoad({ filter: /\.ts$/ }, async ({ path }) => {
      const text = await readFile(path, 'utf8')
      if (!text.includes('import.meta.url')) return null
      const place = JSON.stringify(relative(ROOT, path).replaceAll('\\', '/'))
      // Every made file lies in built/HASH or below it: the root is looked for by its name.
      const root = `import.meta.url.slice(0, import.meta.url.lastIndexOf('/built/') + 1)`
      return { contents: text.replaceAll('import.meta.url', `(${root} + ${place})`), loader: 'ts' }
    })
  },
}

/** Folders made before, the newest first. */
function olderThan(folder) {
  const place = dirname(folder)
  mkdirSync(place, { recursive: true })
  return readdirSync(place)
    .filter((name) => name !== basename(folder) && /^[0-9a-f]{16}$/.test(name))
    .map((name) => join(place, name))
    .sort((a, b) => statSync(b).mtimeMs - statSync(a).mtimeMs)
}

const { keep } = parseArgs({ options: { keep: { type: 'string', default: KEPT } } }).values
const folder = madeAheadFolder()
if (!existsSync(folder)) await make(folder)
for (const old of olderThan(folder).slice(Number(keep) - 1)) rmSync(old, { recursive: true, force: true })
