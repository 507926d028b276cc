/**
 * What a fresh clone lacks: installed packages, the built page, the gateway's JavaScript made ahead. Plain Node without
 * imports from node_modules, because this runs before there is one. Each step is stamped with a hash of what it was
 * made from and is skipped while the hash holds.
 */
import { spawn } from 'node:child_process'
import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { madeAheadFolder } from './load-source.mjs'
import { hashOf, ROOT } from './source-hash.mjs'

export { ROOT }

const INSTALL_STAMP = join(ROOT, 'node_modules', '.evenpull-stamp')
const BUILD_STAMP = join(ROOT, 'out', '.evenpull-stamp')
/** What the page is built from. */
const PAGE_SOURCES = ['app', 'lib', 'shared', 'next.config.ts', 'tsconfig.json', 'package-lock.json']

/** Installs and builds what is missing or out of date. `say` gets one line a step; `kept`: how many makings of the gateway stay. */
export async function setUp(say, { kept } = {}) {
  refuseOldNode()
  await once(INSTALL_STAMP, hashOf(['package-lock.json']), async () => {
    say('installing packages (first start, or the lock file changed) …')
    await run('npm', ['ci', '--include=dev', '--no-audit', '--no-fund'], 'installing packages')
  })
  await once(BUILD_STAMP, hashOf(PAGE_SOURCES), async () => {
    say('building the page (first start, or its source changed) …')
    await run(process.execPath, ['node_modules/next/dist/bin/next', 'build'], 'building the page', {
      NEXT_TELEMETRY_DISABLED: '1',
    })
  })
  if (kept !== undefined || !existsSync(madeAheadFolder()))
    await run(
      process.execPath,
      ['gateway/start/make-ahead.mjs', ...(kept === undefined ? [] : ['--keep', `${kept}`])],
      'making the gateway ahead',
    )
}

function refuseOldNode() {
  const [major = 0, minor = 0] = process.versions.node.split('.').map(Number)
  if (major < 20 || (major === 20 && minor < 9))
    throw new Error(`Node ${process.versions.node} is too old: install Node 20.9 or newer`)
}

async function once(stamp, hash, step) {
  if (existsSync(stamp) && readFileSync(stamp, 'utf8') === hash) return
  await step()
  writeFileSync(stamp, hash)
}

/** Runs a step quietly; its whole output is shown only when it fails. */
function run(command, args, what, env = {}) {
  return new Promise((resolve, reject) => {
    const child = spawn(command, args, {
      cwd: ROOT,
      env: { ...process.env, ...env },
      stdio: ['ignore', 'pipe', 'pipe'],
    })
    let output = ''
    child.stdout.on('data', (chunk) => (output += chunk))
    child.stderr.on('data', (chunk) => (output += chunk))
    child.on('error', (error) => reject(new Error(`${what} could not start: ${error.message}`)))
    child.on('close', (code) =>
      code === 0 ? resolve() : reject(new Error(`${what} failed (exit code ${code}):\n${output.slice(-8000)}`)),
    )
  })
}
