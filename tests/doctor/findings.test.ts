import { mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { createServer, type Server } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest'
import { parseConfig } from '../../gateway/config/load.ts'
import { judgeClock } from '../../gateway/doctor/clock.ts'
import { bytesADay, judgeSpace } from '../../gateway/doctor/disk.ts'
import { lookAtDevices, lookAtPort } from '../../gateway/doctor/network.ts'
import { lookAtSerialLines } from '../../gateway/doctor/serial-lines.ts'
import { lookAtStore } from '../../gateway/doctor/store.ts'
import type { Config } from '../../shared/schemas/config.ts'

let folder = ''
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'evenpull-doctor-'))
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const servers: Server[] = []
afterEach(() => {
  for (const server of servers.splice(0)) server.close()
})

/** Listens on a free loopback port, and counts what it was sent. */
async function listener(): Promise<{ port: number; bytes: () => number; met: Promise<void> }> {
  let bytes = 0
  let ended: () => void = () => {}
  const met = new Promise<void>((resolve) => {
    ended = resolve
  })
  const server = createServer((socket) => {
    socket.on('data', (chunk) => {
      bytes += chunk.length
    })
    socket.on('error', () => {})
    socket.on('close', ended)
  })
  servers.push(server)
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  return { port: (server.address() as { port: number }).port, bytes: () => bytes, met }
}

const configWith = (device: string): Config =>
  parseConfig(
    `version: 1
devices:
  - { id: a, rate_hz: 20, ${device} }
channels:
  - { id: x, device: a, register: { address: 0 }, force: { gain: 1, capacity: 100 } }
  - { id: y, device: a, register: { address: 1 }, force: { gain: 1, capacity: 100 } }
zones:
  - { id: z, cells: { drive_side: x, operator_side: y } }
`,
    'line.yaml',
  ).config

describe('a device on the network', () => {
  it('is right when it takes a connection, and is sent nothing', async () => {
    const { port, bytes, met } = await listener()
    const [finding] = await lookAtDevices(configWith(`transport: modbus-tcp, host: 127.0.0.1, port: ${port}`))
    expect(finding).toMatchObject({ state: 'right', what: `device at 127.0.0.1:${port}` })
    await met
    expect(bytes()).toBe(0)
  })

  it('is wrong, with what to do, when nothing listens there', async () => {
    const { port } = await listener()
    await new Promise((resolve) => servers.splice(0)[0]?.close(resolve))
    const [finding] = await lookAtDevices(configWith(`transport: modbus-tcp, host: 127.0.0.1, port: ${port}`))
    expect(finding).toMatchObject({ state: 'wrong', found: 'no connection: nothing listens there' })
    expect(finding?.remedy).toContain('cable')
  })
})

describe('the gateway’s own port', () => {
  const at = (host: string, port: number) => {
    const config = configWith('transport: modbus-tcp, host: 127.0.0.1')
    return lookAtPort({ ...config, gateway: { ...config.gateway, host, port } })
  }

  it('that another program holds is to be looked at: it may be the gateway', async () => {
    const { port } = await listener()
    expect(await at('127.0.0.1', port)).toMatchObject({ state: 'look', found: 'a program listens there' })
  })

  it('of an address this machine does not have is wrong', async () => {
    expect(await at('192.0.2.77', 18_420)).toMatchObject({ state: 'wrong' })
  })
})

describe('a serial line', () => {
  const at = (path: string) => lookAtSerialLines(configWith(`transport: modbus-rtu, path: ${path}`))

  it('that is not there is wrong, and the name that stays is recommended', async () => {
    const [finding] = await at(join(folder, 'ttyUSB7'))
    expect(finding).toMatchObject({ state: 'wrong', found: 'it cannot be opened: it is not there' })
    expect(finding?.remedy).toContain('/dev/serial/by-id')
  })

  it('that is an ordinary file is no serial line', async () => {
    const path = join(folder, 'file')
    writeFileSync(path, '')
    expect((await at(path))[0]).toMatchObject({ state: 'wrong', found: 'it is no serial line' })
  })

  it('that is there and may be opened is right, also behind a link', async () => {
    const path = join(folder, 'link')
    symlinkSync('/dev/null', path)
    expect((await at(path))[0]).toMatchObject({ state: 'right' })
  })
})

describe('the clock', () => {
  const NOW = Date.UTC(2026, 5, 1)

  it('that follows a time server and is not behind the records is right', () => {
    expect(judgeClock(NOW, NOW - 1000, true).state).toBe('right')
  })

  it.each([
    ['stands before any of these programs was made', Date.UTC(2000, 0, 1), null, true, 'which cannot be'],
    ['is behind what was recorded', NOW, NOW + 60_000, true, 'there are records until 2026-06-01T00:01:00.000Z'],
    ['follows no time server', NOW, null, false, 'follows no time server'],
  ])('that %s is to be looked at', (_, now, newest, synchronised, words) => {
    const finding = judgeClock(now, newest, synchronised)
    expect(finding.state).toBe('look')
    expect(finding.found).toContain(words)
  })

  it('of a system that does not say is not called right', () => {
    expect(judgeClock(NOW, null, null).state).toBe('untold')
  })
})

describe('space on the disk', () => {
  const GB = 1e9
  const keep = { samples: { days: 60, mb: 20_000 } } as Parameters<typeof judgeSpace>[3]['keep']
  const at = (free: number, perDay: number) => judgeSpace('the store', free, perDay, { minFreeBytes: 0.5 * GB, keep })

  it('counts every channel at the rate of its device', () => {
    // 2 channels × 20/s × 86 400 s × 0.9 byte
    expect(bytesADay(configWith('transport: modbus-tcp, host: a'))).toBeCloseTo(3_110_400, 3)
  })

  it('is right where it holds what the config keeps', () => {
    expect(at(10 * GB, 42e6)).toMatchObject({ state: 'right' })
  })

  it('is to be looked at where it does not, with the days it does hold', () => {
    const finding = at(1 * GB, 42e6)
    expect(finding).toMatchObject({ state: 'look' })
    expect(finding.found).toContain('room for 12 days of the 60')
  })

  it('is wrong under the least that must stay free', () => {
    expect(at(0.4 * GB, 42e6)).toMatchObject({ state: 'wrong' })
  })

  it('is held to the size that is kept where that is less than the days', () => {
    // 20 GB at 1 GB a day are 20 days.
    expect(at(25 * GB, 1 * GB)).toMatchObject({ state: 'right' })
  })
})

describe('what was recorded', () => {
  it('is not told before there is anything', () => {
    expect(lookAtStore(join(folder, 'none.sqlite'))).toMatchObject({ finding: { state: 'untold' }, newestMs: null })
  })

  it('is wrong when the file is no store', () => {
    const path = join(folder, 'broken.sqlite')
    writeFileSync(path, 'this is not a database, however long it goes on'.repeat(100))
    expect(lookAtStore(path).finding).toMatchObject({ state: 'wrong' })
  })
})
