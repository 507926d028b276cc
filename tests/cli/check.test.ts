import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { edited, TWO_SIDES } from '../config/support.ts'
import { evenpull } from './support.ts'

let folder = ''
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'evenpull-check-'))
})
afterAll(() => rmSync(folder, { recursive: true }))

function file(text: string): string {
  const path = join(folder, 'line.yaml')
  writeFileSync(path, text)
  return path
}

test('a right config exits 0 and echoes how each register is read, in both notations', async () => {
  const { code, out } = await evenpull('check', file(TWO_SIDES))
  expect(code).toBe(0)
  expect(out).toContain('is right: revision a182a6ee063a')
  expect(out).toContain('unit 1, function 4, input registers 0–4  unwind-ds, unwind-os, speed')
  expect(out).toContain('unit 1, input register 4 (30005), uint16 ABCD')
})

test('a register number of a manual that lost its quotes is asked about, an offset is not', async () => {
  const { code, out } = await evenpull('check', file(edited('"30005"', '30005')))
  expect(code).toBe(0)
  expect(out).toContain('look again at')
  expect(out).toContain(
    'channel speed: offset 30005 is meant? If the manual says register 30005, write it in quotes: "30005"',
  )
  expect((await evenpull('check', file(TWO_SIDES))).out).not.toContain('look again at')
})

test('the bound of a serial wire is told, rounded down', async () => {
  const serial = edited(
    'transport: modbus-tcp\n    host: 127.0.0.1\n    port: 1502\n    rate_hz: 100',
    'transport: modbus-rtu\n    path: /dev/ttyS0',
  )
  const { out } = await evenpull('check', file(serial))
  // 5 registers at 19200 8E1: 8 + 15 = 23 characters of 11 bits and twice 3.5: 330 bits, 17.19 ms.
  expect(out).toContain('10 polls a second; its wire carries at most 58.1 a second')
})

test('a wrong config exits 1 and shows every error with place, line, mark and remedy', async () => {
  const path = file(edited('rate_hz: 100', 'rate: 100', edited('speed: speed', 'speed: sped')))
  const { code, out } = await evenpull('check', path)
  expect(code).toBe(1)
  expect(out.split('\n')).toEqual([
    `${path}:12:5: device amp: there is no key "rate" here; did you mean rate_hz? [EVP_CONFIG_INVALID]`,
    '  12 |     rate: 100',
    '     |     ^',
    '  → Change the value at the line and column named; nothing was applied.',
    `${path}:37:12: zone unwind: speed: there is no channel sped; did you mean speed? [EVP_CONFIG_REFERENCE]`,
    '  37 |     speed: sped',
    '     |            ^',
    '  → Name a device or channel that the same file defines.',
    `${path} is wrong: 2 errors; more may follow once these are mended`,
  ])
})

test('a wrong transport hides nothing else that is wrong with its device, its channels or the zones', async () => {
  const wrong = edited(
    'transport: modbus-tcp',
    'transport: modbus_tcp',
    edited('rate_hz: 100', 'rate_hz: -1', edited('speed: speed', 'speed: sped', edited('"30005"', '70000'))),
  )
  const { out } = await evenpull('check', file(wrong))
  for (const what of ['transport: expected', 'rate_hz: expected', 'speed: there is no channel sped', 'address'])
    expect(out).toContain(what)
  const far = edited('transport: modbus-tcp', 'transport: carrier', edited('rate_hz: 100', 'rate_hz: -1'))
  const { out: other } = await evenpull('check', file(far))
  expect(other).toContain('rate_hz: expected')
})

test('references of a channel are checked also when its device has a misspelt transport', async () => {
  const { out } = await evenpull(
    'check',
    file(
      edited(
        'transport: modbus-tcp',
        'transport: modbus_tcp',
        edited('register: { address: 2,', 'register: { address: 0,'),
      ),
    ),
  )
  expect(out).toContain('both read register offset 0')
})

test('two numbers that do not fit are shown as they stand', async () => {
  const { out } = await evenpull('check', file(edited('counts: [0, 10000]', 'counts: [0, 0]')))
  expect(out).toContain('the two raw values must differ, got 0 and 0')
})

test('--json gives the same as data', async () => {
  const path = file(edited('rate_hz: 100', 'rate: 100'))
  const { code, out } = await evenpull('check', path, '--json')
  expect(code).toBe(1)
  expect(JSON.parse(out)).toMatchObject({
    ok: false,
    errors: [{ code: 'EVP_CONFIG_INVALID', place: { file: path, line: 12, column: 5 } }],
  })
  const right = await evenpull('check', '--json', file(TWO_SIDES))
  expect(JSON.parse(right.out)).toMatchObject({ ok: true, revision: 'a182a6ee063a', zones: [{ id: 'unwind' }] })
})

test('a mark stands under the place also far out in a long line', async () => {
  const path = file(edited('plant: Example plant', `plant: ${'x'.repeat(200)}`))
  const lines = (await evenpull('check', path)).out.split('\n')
  expect(lines[1]).toMatch(/^ {2}3 \| plant: x+$/)
  expect(lines[2]).toBe('    |        ^')
})

test('a file that is not there exits 3', async () => {
  const { code, err } = await evenpull('check', join(folder, 'none.yaml'))
  expect(code).toBe(3)
  expect(err).toContain('there is no such file [EVP_CONFIG_NOT_FOUND]')
})
