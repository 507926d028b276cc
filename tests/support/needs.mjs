/** Finds, or installs where it may, what the tests need beside npm packages: a browser and independent peers. */
import { spawnSync } from 'node:child_process'
import { existsSync, readdirSync } from 'node:fs'
import { homedir } from 'node:os'
import { delimiter, join } from 'node:path'

/** Debian packages of the independent peers; a test whose peer is absent says so and is skipped. */
const PEERS = {
  socat: 'socat',
  mbpoll: 'mbpoll',
  '/usr/sbin/mosquitto': 'mosquitto',
  mosquitto_sub: 'mosquitto-clients',
  openssl: 'openssl',
  pdftotext: 'poppler-utils',
  gcc: 'gcc',
  'pkg-config': 'pkg-config',
  '/usr/include/modbus/modbus.h': 'libmodbus-dev',
  '/usr/lib/python3/dist-packages/pymodbus': 'python3-pymodbus',
  '/usr/lib/python3/dist-packages/prometheus_client': 'python3-prometheus-client',
  '/usr/lib/python3/dist-packages/jsonschema': 'python3-jsonschema',
  '/usr/lib/python3/dist-packages/scipy': 'python3-scipy',
}

const onPath = (name) =>
  (process.env.PATH ?? '')
    .split(delimiter)
    .map((dir) => join(dir, name))
    .find((file) => existsSync(file))
const exists = (name) => (name.startsWith('/') ? existsSync(name) : onPath(name) !== undefined)

function fromPlaywrightCache() {
  const cache = join(homedir(), '.cache', 'ms-playwright')
  if (!existsSync(cache)) return undefined
  return readdirSync(cache)
    .filter((name) => name.startsWith('chromium'))
    .flatMap((name) => ['chrome-linux/chrome', 'chrome-linux/headless_shell'].map((file) => join(cache, name, file)))
    .find((file) => existsSync(file))
}

export function findBrowser() {
  const fromEnv = process.env.CHROME_PATH
  if (fromEnv !== undefined && existsSync(fromEnv)) return fromEnv
  return onPath('chromium') ?? onPath('chromium-browser') ?? onPath('google-chrome') ?? fromPlaywrightCache()
}

function apt(...args) {
  const options = ['-o', 'DPkg::Lock::Timeout=300', '-qq', '-y', '--no-install-recommends']
  return spawnSync('apt-get', [...options, ...args], {
    stdio: 'ignore',
    env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' },
  })
}

/** Returns the browser's path; throws with what to do when there is none and none can be installed. */
export function provide(say, cwd) {
  const missing = Object.entries(PEERS).flatMap(([probe, name]) => (exists(probe) ? [] : [name]))
  if (findBrowser() === undefined) missing.push('chromium')
  const mayInstall = process.getuid?.() === 0 && onPath('apt-get') !== undefined
  if (missing.length > 0 && mayInstall) {
    say(`installing from Debian: ${missing.join(', ')} …`)
    apt('update')
    apt('install', ...missing)
  } else if (missing.length > 0) {
    say(`not installed, so tests that need them are skipped: ${missing.join(', ')}`)
  }
  if (findBrowser() === undefined) {
    say('installing a browser …')
    spawnSync(process.execPath, ['node_modules/playwright-core/cli.js', 'install', 'chromium'], {
      stdio: 'ignore',
      cwd,
    })
  }
  const browser = findBrowser()
  if (browser === undefined) throw new Error('no browser: install Chromium, or name one in CHROME_PATH')
  return browser
}
