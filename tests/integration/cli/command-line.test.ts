import { spawnSync } from 'node:child_process'
import { existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { stringify } from 'yaml'
import type { ZoneNow } from '../../../shared/schemas/now.ts'
import type { RegisterView } from '../../../shared/schemas/register-view.ts'
import type { ZoneList } from '../../../shared/schemas/zones.ts'
import { edited, TWO_SIDES } from '../../config/support.ts'
import { EVENPULL, runEvenpull } from '../support/command.ts'
import { missing, titled } from '../support/installed.ts'
import { startLibmodbusServer, startPymodbusServer } from '../support/peers.ts'
import { end, type PipedProcess, start, until, untilPrinted } from '../support/processes.ts'
import { ptyPair } from '../support/pty.ts'

let folder = ''
const cleanups: (() => Promise<void> | void)[] = []
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'evenpull-cli-'))
})
afterEach(async () => {
  for (const cleanup of cleanups.splice(0).reverse()) await cleanup()
  rmSync(folder, { recursive: true })
})

const evenpull = (...args: string[]) => runEvenpull(folder, ...args)

/** Starts a command that goes on until it is stopped; its temporary files go to `folder`/tmp. */
function running(...args: string[]): { child: PipedProcess; exited: Promise<number | null> } {
  mkdirSync(join(folder, 'tmp'), { recursive: true })
  const child = start('env', [`TMPDIR=${join(folder, 'tmp')}`, process.execPath, EVENPULL, ...args])
  cleanups.push(() => end(child))
  return { child, exited: new Promise((resolve) => child.once('exit', resolve)) }
}

function file(name: string, text: string): string {
  writeFileSync(join(folder, name), text)
  return join(folder, name)
}

describe('evenpull check', () => {
  test('exits 0 on a right config, 1 with line and column on a wrong one, 3 without one', async () => {
    file('right.yaml', TWO_SIDES)
    file('wrong.yaml', edited('rate_hz: 100', 'rate: 100'))
    expect(await evenpull('check', 'right.yaml')).toMatchObject({ code: 0, err: '' })
    const wrong = await evenpull('check', 'wrong.yaml')
    expect(wrong.code).toBe(1)
    expect(wrong.out).toContain('wrong.yaml:12:5: device amp: there is no key "rate" here; did you mean rate_hz?')
    expect((await evenpull('check', 'none.yaml')).code).toBe(3)
  })
})

describe.skipIf(process.platform === 'win32')('a command whose reader has had enough', () => {
  test.each([
    ['--help'],
    ['run', '--help'],
    ['check', 'right.yaml'],
    ['check', 'wrong.yaml'],
    ['doctor', 'right.yaml'],
    ['simulate', '--list'],
  ])('%s %s ends without a word of complaint', (...words) => {
    file('right.yaml', TWO_SIDES)
    file('wrong.yaml', edited('rate_hz: 100', 'rate: 100'))
    // The reader is gone before the first word: `true` reads nothing.
    const alone = spawnSync('sh', ['-c', `"$0" "$@" 2>&1 >/dev/null`, process.execPath, EVENPULL, ...words], {
      cwd: folder,
      encoding: 'utf8',
    })
    const { stderr } = spawnSync('sh', ['-c', `"$0" "$@" | true`, process.execPath, EVENPULL, ...words], {
      cwd: folder,
      encoding: 'utf8',
    })
    expect(stderr).toBe(alone.stdout)
  })
})

/** 0x4049 0x0FDB is the float32 next to π: 3.1415927410125732 (IEEE 754-2008 binary32). */
const VALUES = { 10: 0x4049, 11: 0x0fdb }
const PI = 3.1415927410125732

const noPymodbus = missing('pymodbus')
describe.skipIf(noPymodbus !== null)(titled('evenpull probe against a pymodbus server', noPymodbus), () => {
  test('shows what the server holds, as a table and as JSON; a refusal exits 1', async () => {
    const peer = await startPymodbusServer({ unit: 17, registers: 100, values: VALUES })
    cleanups.push(peer.stop)
    const probe = (...more: string[]) => evenpull('probe', `127.0.0.1:${peer.port}`, '--unit', '17', ...more)

    const json = await probe('--address', '10', '--count', '2', '--function', '3', '--json')
    expect(json.code).toBe(0)
    const view = JSON.parse(json.out) as RegisterView
    expect(view).toMatchObject({ ok: true, unitId: 17, function: 3, address: 10, count: 2 })
    expect(view.rows[0]).toMatchObject({ address: 10, notation: '40011', hex: '4049', uint16: 0x4049 })
    expect(view.rows[0]?.float32.ABCD).toBe(PI)

    const table = await probe('--address', '9', '--count', '4')
    expect(table.code).toBe(0)
    expect(table.out).toMatch(/^ +10 +30011 +3\.141593 /m)

    const refused = await probe('--address', '99', '--count', '2')
    expect(refused.code).toBe(1)
    expect(refused.err).toContain('EVP_MODBUS_EXCEPTION')
  })
})

const noLine = missing('gcc', 'libmodbus', 'socat')
describe.skipIf(noLine !== null)(titled('evenpull probe on a serial line with a libmodbus server', noLine), () => {
  test('reads the same as over TCP', async () => {
    const pair = await ptyPair()
    cleanups.push(pair.remove)
    const peer = await startLibmodbusServer({ mode: 'rtu', path: pair.a, unit: 3, registers: 100, values: VALUES })
    cleanups.push(peer.stop)
    const flags = ['--unit', '3', '--baud', '115200', '--parity', 'none', '--address', '10', '--count', '2', '--json']
    const { code, out } = await evenpull('probe', pair.b, ...flags)
    expect(code).toBe(0)
    expect((JSON.parse(out) as RegisterView).rows[0]?.float32.ABCD).toBe(PI)
  })
})

test('evenpull probe of nobody exits 3', async () => {
  const { code, err } = await evenpull('probe', '127.0.0.1:1')
  expect(code).toBe(3)
  expect(err).toContain('EVP_DEVICE_UNREACHABLE')
  expect(err, 'no gateway is there to try again').not.toContain('gateway')
  const serial = await evenpull('probe', '/dev/nobody')
  expect(serial.code).toBe(3)
  expect(serial.err).toMatch(/^\/dev\/nobody cannot be opened: no such file or directory \[/)
})

describe('evenpull simulate', () => {
  test('says where it listens, passes a signal on and leaves nobody behind', async () => {
    const { child, exited } = running('simulate', 'demo', '--port', '0', '--port2', '0', '--json')
    const [, ready = ''] = await untilPrinted(child, /(\{"ready":true.*\})\n/)
    const port = (JSON.parse(ready) as { endpoints: { port?: number }[] }).endpoints.find(
      (e) => e.port !== undefined,
    )?.port
    expect((await evenpull('probe', `127.0.0.1:${port}`)).code).toBe(0)
    child.kill('SIGTERM')
    expect(await exited).toBe(0)
    expect((await evenpull('probe', `127.0.0.1:${port}`)).code).toBe(3)
  })

  test('an unknown scenario and an unknown flag exit 2 with what the simulator says', async () => {
    const { code, err } = await evenpull('simulate', 'xyzzy')
    expect({ code, err }).toEqual({ code: 2, err: expect.stringContaining('xyzzy') })
    expect((await evenpull('simulate', 'demo', '--xyzzy')).code).toBe(2)
  })
})

describe('evenpull run', () => {
  test.each(['SIGINT', 'SIGTERM'] as const)('serves until %s, then exits 0', async (signal) => {
    const { child, exited } = running('run', file('line.yaml', TWO_SIDES), '--port', '0', '--json')
    const [, address = ''] = await untilPrinted(child, /"address":"([^"]+)"/)
    expect((await fetch(`${address}/api/health`)).status).toBe(200)
    child.kill(signal)
    expect(await exited).toBe(0)
  })

  test('a wrong config exits 1 with its errors, a port that is taken 3', async () => {
    const wrong = await evenpull('run', file('wrong.yaml', edited('rate_hz: 100', 'rate: 100')), '--port', '0')
    expect(wrong).toMatchObject({ code: 1, out: '' })
    expect(wrong.err).toContain('wrong.yaml:12:5: device amp')
    const { child } = running('run', file('line.yaml', TWO_SIDES), '--port', '0', '--json')
    const [, port = ''] = await untilPrinted(child, /"address":"[^"]+:(\d+)"/)
    const taken = await evenpull('run', join(folder, 'line.yaml'), '--port', port)
    expect(taken.code).toBe(3)
    expect(taken.err).toContain('EVP_PORT_TAKEN')
  })
})

describe('evenpull replay', () => {
  const rows = Array.from({ length: 400 }, (_, i) => `${(i / 20).toFixed(2)},${100 + (i % 3)},${120 + (i % 3)},90`)
  const CSV = `time,drive_side,operator_side,speed\n${rows.join('\n')}\n`

  test('plays a recording through the gateway and cleans up after itself', async () => {
    const flags = ['--speed-unit', 'm/min', '--capacity', '500', '--port', '0', '--json']
    const { child, exited } = running('replay', file('shift.csv', CSV), ...flags)
    const [, address = ''] = await untilPrinted(child, /"address":"([^"]+)"/)
    const { zones } = (await (await fetch(`${address}/api/zones`)).json()) as ZoneList
    expect(zones).toHaveLength(1)
    expect(zones[0]).toMatchObject({
      id: 'recording',
      columns: ['drive_side', 'operator_side', 'speed'],
      capacityN: { drive_side: 500, operator_side: 500 },
    })
    expect(zones[0]?.rateHz).toBeCloseTo(20, 6)
    let forces: unknown[] = []
    const look = async () => {
      const now = await (await fetch(`${address}/api/zones/recording/now`)).json()
      forces = [now.sides.drive_side.live.value, now.sides.operator_side.live.value, now.aux.speed?.value]
    }
    const looking = setInterval(() => void look().catch(() => {}), 50)
    cleanups.push(() => clearInterval(looking))
    await until('a pair of forces', () => forces.every((value) => typeof value === 'number') && forces.length === 3)
    clearInterval(looking)
    const [drive, operator, speed] = forces as [number, number, number]
    expect(drive).toBeGreaterThanOrEqual(100)
    expect(drive).toBeLessThanOrEqual(102)
    expect(operator).toBeGreaterThanOrEqual(120)
    expect(operator).toBeLessThanOrEqual(122)
    expect(speed).toBeCloseTo(1.5, 9)
    child.kill('SIGTERM')
    expect(await exited).toBe(0)
    expect(readdirSync(join(folder, 'tmp')).filter((name) => name.startsWith('evenpull-'))).toEqual([])
  })

  test('says what it took for the capacity when none was given', async () => {
    const { child } = running('replay', file('shift.csv', CSV), '--port', '0')
    let err = ''
    child.stderr.on('data', (chunk) => {
      err += String(chunk)
    })
    await untilPrinted(child, /Evenpull is live at/)
    // 1.25 × 122 N is 152.5 N.
    expect(err).toContain('capacity of each cell assumed: 200 N (1.25 times the largest force in the file, 122 N')
  })

  test('prints the last figures when the recording has ended, and goes on serving', async () => {
    const { child, exited } = running('replay', file('shift.csv', CSV), '--speed', 'max', '--port', '0', '--json')
    let out = ''
    child.stdout.on('data', (chunk) => {
      out += String(chunk)
    })
    const ended = () => out.split('\n').find((line) => line.startsWith('{"ended"') && line.endsWith('}'))
    await until('the last figures', () => ended() !== undefined)
    const [zone] = (JSON.parse(ended() ?? '') as { zones: ZoneNow[] }).zones
    if (zone === undefined || 'single' in zone.sides) throw new Error('no pair')
    // Rows go 100, 101, 102 and 120, 121, 122: whole thirds, so the means of 20 s are 101 and 121, give or take one row.
    expect(zone.sides.drive_side.force.value).toBeCloseTo(101, 1)
    expect(zone.sides.operator_side.force.value).toBeCloseTo(121, 1)
    expect(zone.imbalance?.value).toBeCloseTo((100 * 20) / 222, 1)
    expect(zone.imbalance?.U).toBeGreaterThan(0)
    expect(zone.total.window?.samples).toBeGreaterThan(390)
    const [, address = ''] = /"address":"([^"]+)"/.exec(out) ?? []
    const list = (await (await fetch(`${address}/api/zones`)).json()) as ZoneList
    expect(list.zones[0]?.name).toBe('Recording (capacity assumed)')
    child.kill('SIGTERM')
    expect(await exited).toBe(0)
  })

  test('prints the same in words', async () => {
    const { child } = running('replay', file('shift.csv', CSV), '--speed', 'max', '--port', '0')
    let err = ''
    child.stderr.on('data', (chunk) => {
      err += String(chunk)
    })
    await until('the last figures', () => err.includes('stop with Ctrl-C'))
    expect(err).toMatch(/the recording has ended; its last figures:\n {2}force, drive side +101\.\d+ ± [\d.]+ N +over/)
    expect(err).toMatch(/ {2}side difference +9\.0\d* ± [\d.]+ % .* limit ±10 %/)
  })

  test('a row that is no row exits 1 with its line, before anything is played', async () => {
    const path = file('bad.csv', `${CSV}20.00,abc,1,90\n`)
    const { code, out, err } = await evenpull('replay', path, '--port', '0')
    expect({ code, out }).toEqual({ code: 1, out: '' })
    expect(err).toContain(`${path}:402:7`)
    expect(err.split(path).length - 1, 'the place is said once').toBe(1)
    expect(existsSync(join(folder, 'tmp'))).toBe(false)
  })
})

test('a config the replay makes is one that check takes for right', async () => {
  const { replayConfig } = await import('../../../gateway/cli/replay-config.ts')
  const survey = {
    columns: ['time', 'drive_side', 'operator_side', 'temperature', 'reference'],
    rowsPerSecond: 0.5,
    largestForce: 3,
  }
  const choices = {
    file: '/tmp/x.csv',
    survey,
    forceUnit: 'kN',
    speedUnit: 'm/s',
    speed: 'max',
    capacity: 3,
    capacityIsAssumed: true,
  } as const
  const path = file('made.yaml', stringify(replayConfig(choices)))
  expect(await evenpull('check', path)).toMatchObject({ code: 0, err: '' })
})
