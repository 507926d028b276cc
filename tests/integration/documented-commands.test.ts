import { type ChildProcessByStdio, spawn, spawnSync } from 'node:child_process'
import {
  chmodSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs'
import { createServer } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Readable, Writable } from 'node:stream'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { DOCUMENTED_COMMANDS as HELP } from '../../app/help/_model/commands.ts'
import { FIRST_CONNECTION } from '../../app/help/_model/first-connection.ts'
import type { ZoneNow } from '../../shared/schemas/now.ts'
import { EVENPULL } from './support/command.ts'
import { helpCommands, ROOT, readmeBlocks, readmeCommands } from './support/documented.ts'
import { untilAnswer } from './support/gateway.ts'
import { missing, titled } from './support/installed.ts'
import { untilPrinted } from './support/processes.ts'

/** What is not typed here: another test that does it, or why no test can. */
const NOT_RUN: Readonly<Record<string, { readonly test: string } | { readonly why: string }>> = {
  'npm start': { test: 'tests/integration/start.test.ts' },
  'npm test': { why: 'it is what runs this' },
  [HELP.pack]: { test: 'tests/integration/package.test.ts' },
  [HELP.install]: { test: 'tests/integration/package.test.ts' },
  [HELP.probeSerial]: { why: 'needs a serial line; tests/integration/gateway.test.ts reads one through a pty' },
  [HELP.serviceUser]: { why: 'makes a user of this machine' },
  'sudo mv evenpull-line.service /etc/systemd/system/': { why: 'changes this machine' },
  'sudo systemctl daemon-reload': { why: 'changes this machine' },
  'sudo systemctl enable --now evenpull-line': { why: 'changes this machine' },
  'systemctl status evenpull-line': { why: 'needs the service that is not enabled here' },
  'journalctl --unit evenpull-line --since today': { why: 'needs the service that is not enabled here' },
  [HELP.stopUnit]: { why: 'needs the service that is not enabled here' },
  [HELP.startUnit]: { why: 'needs the service that is not enabled here' },
  [HELP.buildImage]: { why: 'fetches an image; tests/deploy/containerfile.test.ts holds its steps' },
  [HELP.containerUser]: { why: 'needs the image' },
  [HELP.runContainer]: { why: 'needs the image' },
  [HELP.listen]: {
    why: 'needs the broker of a plant; tests/integration/forward.test.ts listens with the same program',
  },
  [HELP.serialLines]: { why: 'the folder is there only with a serial line' },
  [HELP.serialGroup]: { why: 'changes a user of this machine' },
  [HELP.clock]: { why: 'needs systemd running' },
}

/** What the tests below type, as it is written. */
const RUN = [
  'npm run evenpull -- probe 127.0.0.1:1502 --unit 1 --address 0 --count 10',
  'npm run evenpull -- check line.yaml',
  'npm start -- line.yaml',
  'npm run evenpull -- users add line.yaml "A. Fitter" --role engineer',
  HELP.version,
  HELP.makeStandIn,
  HELP.standIn,
  HELP.probe,
  HELP.check,
  HELP.doctor,
  HELP.run,
  HELP.firstUser,
  HELP.collector,
  HELP.printUnit,
  HELP.verifyUnit,
  HELP.backup,
  HELP.backupDaily,
  HELP.restore,
  ...HELP.checkRestored.split('\n'),
  HELP.health,
  HELP.space,
] as const

const documented = new Set([...readmeCommands(), ...helpCommands()])

describe('every command that README or Help tells', () => {
  it('is run below as written, or is named here with the test that runs it or the reason why none can', () => {
    const known = new Set<string>([...RUN, ...Object.keys(NOT_RUN)])
    expect([...documented].filter((command) => !known.has(command))).toEqual([])
    expect([...known].filter((command) => !documented.has(command))).toEqual([])
    expect(RUN.filter((command) => command in NOT_RUN)).toEqual([])
  })

  it('has its test where one is named', () => {
    for (const how of Object.values(NOT_RUN)) if ('test' in how) expect(existsSync(join(ROOT, how.test))).toBe(true)
  })

  it('goes with one config: README and Help show the same', () => {
    expect(readmeBlocks('yaml first-connection')).toEqual([FIRST_CONNECTION])
  })
})

type Started = ChildProcessByStdio<Writable, Readable, Readable>
type Typed = (typeof RUN)[number]

const isFree = (port: number): Promise<boolean> =>
  new Promise((resolve) => {
    const server = createServer()
    server.once('error', () => resolve(false))
    server.listen(port, '127.0.0.1', () => server.close(() => resolve(true)))
  })

/** The documents name these two ports. */
const taken = (await Promise.all([1502, 8420].map(async (port) => ((await isFree(port)) ? [] : [port])))).flat()
const reason =
  missing('gcc', 'libmodbus', 'script', 'curl') ??
  (taken.length > 0 ? `skipped: port ${taken.join(', ')} is taken` : null)

describe.skipIf(reason !== null || process.platform !== 'linux')(titled('typed in a clone', reason), () => {
  let clone = ''
  const started: Started[] = []
  const typed = new Set<string>()
  const env = () => ({ ...process.env, PATH: `${join(clone, 'bin')}:${process.env.PATH}` })

  beforeAll(() => {
    clone = mkdtempSync(join(tmpdir(), 'evenpull-clone-'))
    // A clone by links, so that files the commands write do not land in the real one.
    for (const name of ['package.json', 'gateway', 'lib', 'shared', 'simulator', 'tests', 'out', 'node_modules'])
      symlinkSync(join(ROOT, name), join(clone, name))
    mkdirSync(join(clone, 'bin'))
    const program = join(clone, 'bin', 'evenpull')
    writeFileSync(program, `#!/bin/sh\nexec "${process.execPath}" "${EVENPULL}" "$@"\n`)
    chmodSync(program, 0o755)
    writeFileSync(join(clone, 'line.yaml'), FIRST_CONNECTION)
  })
  afterAll(async () => {
    for (const child of started) await stop(child)
    rmSync(clone, { recursive: true, force: true })
    rmSync('/tmp/amplifier', { force: true })
  })

  /** Types a command and waits for its end. */
  function type(command: Typed) {
    typed.add(command)
    const { status, stdout, stderr } = spawnSync('sh', ['-c', command], { cwd: clone, env: env(), encoding: 'utf8' })
    return { status, out: stdout, err: stderr }
  }

  /** Types a command that goes on; its process group is stopped as by Ctrl-C. */
  function begin(command: Typed): Started {
    typed.add(command)
    const child = spawn('sh', ['-c', command], {
      cwd: clone,
      env: env(),
      stdio: ['pipe', 'pipe', 'pipe'],
      detached: true,
    })
    started.push(child)
    return child
  }
  async function stop(child: Started): Promise<void> {
    if (child.exitCode !== null || child.signalCode !== null || child.pid === undefined) return
    const gone = new Promise((resolve) => child.once('exit', resolve))
    process.kill(-child.pid, 'SIGINT')
    await gone
  }

  /** Types a command at a terminal, where it asks for a password. */
  async function typeAtTerminal(command: Typed, password: string): Promise<string> {
    typed.add(command)
    const child = spawn('script', ['-qec', command, '/dev/null'], {
      cwd: clone,
      env: env(),
      stdio: ['pipe', 'pipe', 'pipe'],
    })
    let out = ''
    let answered = 0
    child.stdout.on('data', (chunk) => {
      out += String(chunk)
      const asked = out.match(/(password of [^:\n]*|same again): /gi)?.length ?? 0
      for (; answered < asked; answered += 1) child.stdin.write(`${password}\r`)
    })
    const code = await new Promise((resolve) => child.once('close', resolve))
    if (code !== 0) throw new Error(`ended with ${code}: ${out}`)
    return out
  }

  const readings = async () => {
    const answer = await fetch('http://127.0.0.1:8420/api/zones/infeed/now').catch(() => null)
    const now = answer?.ok === true ? ((await answer.json()) as ZoneNow) : null
    if (now === null || 'single' in now.sides) return null
    return [now.sides.drive_side.live.value, now.sides.operator_side.live.value]
  }
  // By hand: (12.0 − 4) mA × 31.25 N/mA = 250 N; (12.8 − 4) × 31.25 = 275 N: what the documents promise.
  const untilLive = () => untilAnswer(readings, (values) => values?.[0] === 250 && values[1] === 275, 60_000)

  it('the stand-in for an amplifier is made and answers, and the probe shows both registers', async () => {
    expect(type(HELP.makeStandIn)).toMatchObject({ status: 0 })
    await untilPrinted(begin(HELP.standIn), /ready 1502/)
    for (const command of [HELP.probe, RUN[0]]) {
      const { status, out } = type(command)
      expect(status).toBe(0)
      expect(out).toMatch(/\b12000\b/)
      expect(out).toMatch(/\b12800\b/)
    }
  })

  it('the config is right, and nothing keeps this machine from running it', () => {
    for (const command of [HELP.check, RUN[1]]) expect(type(command)).toMatchObject({ status: 0 })
    const { status, out } = type(HELP.doctor)
    expect(out).not.toMatch(/^wrong/m)
    expect(status).toBe(0)
    expect(type(HELP.version).out).toMatch(/^\S*\d+\.\d+\.\d+/)
    expect(type(HELP.space)).toMatchObject({ status: 0 })
  })

  it('the gateway shows what the documents promise, says how it is, and is backed up while it runs', async () => {
    const gateway = begin(HELP.run)
    await untilLive()
    expect(JSON.parse(type(HELP.health).out)).toMatchObject({ devices: [{ id: 'amplifier', state: 'answering' }] })
    expect(type(HELP.backup)).toMatchObject({ status: 0 })
    expect(type(HELP.backupDaily)).toMatchObject({ status: 0 })
    await stop(gateway)
  })

  it('the backup comes back whole, and is sound', () => {
    expect(type(HELP.restore)).toMatchObject({ status: 0 })
    expect(readFileSync(join(clone, 'restored', 'line.yaml'), 'utf8')).toBe(FIRST_CONNECTION)
    const [check, doctor] = HELP.checkRestored.split('\n') as [Typed, Typed]
    expect(type(check)).toMatchObject({ status: 0 })
    expect(type(doctor).out).toMatch(/^right .*what was recorded: .*sound/m)
  })

  it('npm start with the own config shows the same', { timeout: 400_000 }, async () => {
    const child = begin(RUN[2])
    await untilLive()
    await stop(child)
  })

  it('a unit is printed that systemd finds nothing wrong with', () => {
    expect(type(HELP.printUnit)).toMatchObject({ status: 0 })
    const unit = readFileSync(join(clone, 'evenpull-line.service'), 'utf8')
    expect(unit).toContain('User=evenpull\n')
    expect(unit).toContain(`"run" "${join(clone, 'line.yaml')}"`)
    const { err } = type(HELP.verifyUnit)
    const aboutIt = err.split('\n').filter((line) => line.includes('evenpull-line.service'))
    // Where systemd is not installed the shell says so, and tests/deploy/unit.test.ts says that it was skipped.
    expect(aboutIt.filter((line) => !/not found/.test(line))).toEqual([])
  })

  it('the first user is asked for a password; a machine gets a token', async () => {
    await typeAtTerminal(HELP.firstUser, 'a long enough pass phrase')
    expect(type(HELP.collector).out).toMatch(/\S{20,}/)
    rmSync(join(clone, '.evenpull', 'users.json'))
    await typeAtTerminal(RUN[3], 'a long enough pass phrase')
  })

  it('all of them were typed', () => {
    expect(RUN.filter((command) => !typed.has(command))).toEqual([])
  })
})
