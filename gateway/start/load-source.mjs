/**
 * Loads a module of the gateway: as JavaScript made ahead by set-up, where that was made from the very sources in the
 * tree, else through the TypeScript loader. The loader takes some 25 MB in every thread and a compiler process beside
 * every process; an edited source is never passed over, because the folder of what was made bears the sources' hash.
 */
import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { hashOf, ROOT } from './source-hash.mjs'

/** Entries of the gateway's process, its polling process and its threads; what they share is made once. */
export const ENTRIES = [
  'gateway/cli/main.ts',
  'gateway/poller/polling-process.ts',
  'gateway/recorder/writer-worker.ts',
  'gateway/recorder/reader-worker.ts',
  'gateway/export/export-worker.ts',
  'gateway/reports/report-worker.ts',
]

/** Where this process found what was made ahead; its threads and its polling process are told by it, so that all are of one making. */
const PINNED = 'EVENPULL_MADE_AHEAD'

/** TypeScript, and the plain JavaScript that it takes in. */
const isSource = (file) => file.endsWith('.ts') || file === 'gateway/start/lean.mjs'

/** The folder of what was, or would be, made from the sources as they are. */
export const madeAheadFolder = () => join(ROOT, 'built', hashOf(['gateway', 'lib', 'shared'], isSource).slice(0, 16))

/** Decides for this process and all it starts. */
export function decideAnew() {
  const folder = madeAheadFolder()
  process.env[PINNED] = existsSync(folder) ? folder : ''
}

/** @param {string} source one of ENTRIES */
export async function loadSource(source) {
  if (process.env[PINNED] === undefined) decideAnew()
  const made = join(process.env[PINNED] || ROOT, source.replace(/\.ts$/, '.mjs'))
  if (process.env[PINNED] && existsSync(made)) return import(pathToFileURL(made).href)
  const { register } = await import('tsx/esm/api')
  register({ tsconfig: false }) // whatever tsconfig.json lies in the folder it is called from
  return import(pathToFileURL(join(ROOT, source)).href)
}
