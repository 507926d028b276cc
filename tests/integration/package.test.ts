import { spawn, spawnSync } from 'node:child_process'
import { existsSync, mkdtempSync, readdirSync, realpathSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath, pathToFileURL } from 'node:url'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { untilAnswer } from './support/gateway.ts'

const ROOT = fileURLToPath(new URL('../..', import.meta.url))
/** Installing asks the registry for what is not in npm's cache. */
const INSTALL_MS = 600_000

let folder = ''
const children: ReturnType<typeof spawn>[] = []

function npm(args: readonly string[], cwd: string): string {
  const { status, stdout, stderr } = spawnSync('npm', [...args, '--no-audit', '--no-fund'], { cwd, encoding: 'utf8' })
  if (status !== 0) throw new Error(`npm ${args.join(' ')}: ${stdout}\n${stderr}`)
  return stdout
}

const program = () => join(folder, 'global', 'bin', 'evenpull')
const evenpull = (...args: string[]) => spawnSync(program(), args, { cwd: join(folder, 'line'), encoding: 'utf8' })

/** Starts a command of the installed program; resolves to the first line it prints. */
async function started(...args: string[]): Promise<unknown> {
  const child = spawn(program(), args, { cwd: join(folder, 'line'), stdio: ['ignore', 'pipe', 'inherit'] })
  children.push(child)
  let text = ''
  child.stdout?.on('data', (chunk: Buffer) => {
    text += chunk
  })
  await untilAnswer(
    async () => text,
    (found) => found.includes('\n') || child.exitCode !== null,
    60_000,
  )
  return JSON.parse(text.split('\n')[0] ?? '')
}

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'evenpull-package-'))
  spawnSync('mkdir', [join(folder, 'line'), join(folder, 'global')])
  npm(['pack', '--silent', '--pack-destination', folder], ROOT)
  const [name = ''] = readdirSync(folder).filter((one) => one.endsWith('.tgz'))
  npm(['install', '--global', '--prefix', join(folder, 'global'), '--prefer-offline', join(folder, name)], folder)
}, INSTALL_MS)

afterAll(async () => {
  for (const child of children) child.kill('SIGTERM')
  await Promise.all(
    children.map((child) => child.exitCode ?? new Promise((resolve) => child.once('exit', () => resolve(null)))),
  )
  rmSync(folder, { recursive: true, force: true })
}, 60_000)

describe.skipIf(process.platform === 'win32')(
  'the package that npm pack makes, installed globally in an empty folder',
  () => {
    it('carries the built page and none of what only a developer needs', () => {
      const installed = join(folder, 'global', 'lib', 'node_modules', 'evenpull')
      expect(existsSync(join(installed, 'out', 'index.html'))).toBe(true)
      for (const name of ['app', 'tests', 'node_modules/next', 'node_modules/typescript', 'node_modules/vitest'])
        expect(existsSync(join(installed, name)), name).toBe(false)
    })

    it('carries the gateway made ahead from the very sources beside it, once', () => {
      const installed = join(folder, 'global', 'lib', 'node_modules', 'evenpull')
      const loader = pathToFileURL(join(installed, 'gateway', 'start', 'load-source.mjs')).href
      const asked = `import(${JSON.stringify(loader)}).then((m) => console.log(m.madeAheadFolder()))`
      const { stdout } = spawnSync(process.execPath, ['-e', asked], { encoding: 'utf8' })
      expect(stdout.trim()).toBe(join(realpathSync(installed), 'built', readdirSync(join(installed, 'built')).join()))
    })

    it('runs evenpull: help, a wrong word, a check that refuses nonsense in one sentence', () => {
      expect(evenpull('--help')).toMatchObject({ status: 0 })
      expect(evenpull('chek', 'line.yaml')).toMatchObject({
        status: 2,
        stderr: expect.stringContaining('did you mean check?'),
      })
      const nonsense = evenpull('run', 'nothing.yaml')
      expect(nonsense.status).toBe(3)
      expect(nonsense.stderr).toContain('nothing.yaml cannot be read: there is no such file')
    })

    it('runs simulator, gateway and page, live on both sides', { timeout: 180_000 }, async () => {
      await started('simulate', 'demo', '--json', '--port', '0', '--port2', '0', '--write-config', 'line.yaml')
      expect(evenpull('doctor', 'line.yaml').stdout).not.toMatch(/^wrong/m)
      const { address } = (await started('run', 'line.yaml', '--port', '0', '--json')) as { address: string }
      expect(await (await fetch(address)).text()).toContain('<html')
      const now = await untilAnswer(
        async () =>
          (await (await fetch(`${address}/api/zones/coater-outfeed/now`)).json()) as { total: { value: unknown } },
        (zone) => zone.total.value !== null,
        60_000,
      )
      expect(now.total.value).toBeGreaterThan(100)
    })
  },
)
