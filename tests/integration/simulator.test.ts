import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { connect, createServer, type Socket } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { parseConfig } from '../../gateway/config/load.ts'
import { missing, titled } from './support/installed.ts'
import { type PtyPair, ptyPair } from './support/pty.ts'
import { type SimulatorProcess, simulatorWords, startSimulatorProcess } from './support/simulator.ts'

const noMbpoll = missing('mbpoll')
const noSerial = missing('mbpoll', 'socat')

/** mbpoll (libmodbus): the values it printed, or its complaint. */
function mbpoll(target: readonly string[], read: readonly string[]): { values: number[]; complaint: string } {
  const { stdout, stderr } = spawnSync('mbpoll', ['-1', '-0', ...read, ...target], {
    encoding: 'utf8',
    timeout: 20_000,
  })
  const values = [...stdout.matchAll(/^\[\d+\]:\s+(0x[0-9A-Fa-f]+|[-+.\deE]+)/gm)].map(([, text]) => Number(text))
  return { values, complaint: stderr }
}
const tcp = (port: number) => ['-m', 'tcp', '-p', String(port), '127.0.0.1']
const serial = (path: string) => ['-m', 'rtu', '-b', '115200', '-P', 'even', '-s', '1', path]
const reads = (unit: number, type: string, address: number, count: number) => [
  '-a',
  String(unit),
  '-t',
  type,
  '-r',
  String(address),
  '-c',
  String(count),
]

/** Everything a socket receives until it has `bytes` of it or is closed. */
function received(socket: Socket, bytes: number): Promise<Buffer> {
  return new Promise((resolve) => {
    let all: Buffer = Buffer.alloc(0)
    socket.on('data', (chunk: Buffer) => {
      all = Buffer.concat([all, chunk])
      if (all.length >= bytes) resolve(all)
    })
    socket.once('close', () => resolve(all))
  })
}

describe('a technician at a simulated line', () => {
  let simulator: SimulatorProcess
  beforeAll(async () => {
    simulator = await startSimulatorProcess('install')
  })
  afterAll(() => simulator?.stop())

  it.skipIf(noMbpoll !== null)(titled('a push shows over the wire on the end that was pushed', noMbpoll), async () => {
    const act = (id: string, args: object = {}) => simulator.ask({ do: 'act', act: id, ...args })
    const target = tcp(simulator.portOf('amplifier'))
    const signals = () => mbpoll(target, reads(1, '3:float', 0, 2)).values
    expect(await act('push-end', { side: 'operator_side' })).toMatchObject({ ok: false, refused: { unsafe: true } })
    for (const id of ['lock-out', 'take-web-off']) expect(await act(id)).toMatchObject({ ok: true })
    const before = signals()
    expect(await act('push-end', { side: 'operator_side', newtons: 100 })).toMatchObject({ ok: true })
    const pushed = signals()
    // 100 N of 500 N at 1.998 mV/V, along an arrow within a degree of the pull; noise is some 0.001 mV/V.
    expect(Math.abs((pushed[1] ?? 0) - (before[1] ?? 0) - 0.3996)).toBeLessThan(0.01)
    expect(Math.abs((pushed[0] ?? 0) - (before[0] ?? 0))).toBeLessThan(0.01)
    expect(await act('let-go')).toMatchObject({ ok: true, state: { power: 'locked out', loads: [] } })
  })
})

describe('simulator over Modbus TCP', () => {
  let simulator: SimulatorProcess
  beforeAll(async () => {
    simulator = await startSimulatorProcess('demo')
  })
  afterAll(() => simulator?.stop())

  it.skipIf(noMbpoll !== null)(titled('mbpoll reads the floats of one instant as they are', noMbpoll), async () => {
    await simulator.ask({ do: 'pause' })
    const { state, registers } = await simulator.dump()
    const target = tcp(simulator.portOf('amplifier'))
    const zone = state.zones['coater-outfeed']
    const truth = [
      zone?.cells.drive_side.output,
      zone?.cells.operator_side.output,
      state.speed * 60,
      250,
      state.ambient,
    ]
    const { values } = mbpoll(target, reads(1, '3:float', 0, 5))
    expect(values).toHaveLength(5)
    // mbpoll prints six digits.
    for (const [i, value] of values.entries()) expect(Math.abs(value / (truth[i] ?? 0) - 1)).toBeLessThan(1e-5)
    expect(mbpoll(target, reads(1, '3:hex', 0, 11)).values).toEqual(registers.amplifier)
    await simulator.ask({ do: 'resume' })
  })

  it.skipIf(noMbpoll !== null)(titled('mbpoll reads the counts of the module from both tables', noMbpoll), async () => {
    await simulator.ask({ do: 'pause' })
    const { registers } = await simulator.dump()
    const target = tcp(simulator.portOf('module'))
    expect(mbpoll(target, reads(2, '3', 0, 4)).values).toEqual(registers.module)
    expect(mbpoll(target, reads(2, '4', 0, 4)).values).toEqual(registers.module)
    await simulator.ask({ do: 'resume' })
  })

  it.skipIf(noMbpoll !== null)(titled('a running line moves between two reads', noMbpoll), async () => {
    const target = tcp(simulator.portOf('amplifier'))
    const before = await simulator.dump()
    const first = mbpoll(target, reads(1, '3:float', 0, 2)).values
    const second = mbpoll(target, reads(1, '3:float', 0, 2)).values
    const after = await simulator.dump()
    expect(second).not.toEqual(first)
    expect(after.state.time).toBeGreaterThan(before.state.time)
  })

  it.skipIf(noMbpoll !== null)(titled('a write is refused and changes nothing', noMbpoll), async () => {
    const port = simulator.portOf('module')
    await simulator.ask({ do: 'hold', device: 'module', on: true })
    const before = (await simulator.dump()).registers.module
    const single = spawnSync('mbpoll', ['-1', '-0', '-a', '2', '-t', '4', '-r', '0', ...tcp(port), '55'], {
      encoding: 'utf8',
    })
    const several = spawnSync('mbpoll', ['-1', '-0', '-a', '2', '-t', '4', '-r', '0', ...tcp(port), '55', '56'], {
      encoding: 'utf8',
    })
    expect(single.stderr).toMatch(/Illegal function/)
    expect(several.stderr).toMatch(/Illegal function/)
    expect((await simulator.dump()).registers.module).toEqual(before)
    await simulator.ask({ do: 'hold', device: 'module', on: false })
  })

  it.skipIf(noMbpoll !== null)(titled('wrong addresses and units are refused as the standard says', noMbpoll), () => {
    const target = tcp(simulator.portOf('amplifier'))
    expect(mbpoll(target, reads(1, '3', 10, 2)).complaint).toMatch(/Illegal data address/)
    expect(mbpoll(target, reads(1, '4', 0, 1)).complaint).toMatch(/Illegal data address/)
    expect(mbpoll(target, reads(9, '3', 0, 1)).complaint).toMatch(/Target device failed to respond/)
  })

  it('several clients, pipelined and cut requests are each answered under their own transaction id', async () => {
    const port = simulator.portOf('amplifier')
    const request = (id: number) => Buffer.from([id >> 8, id & 255, 0, 0, 0, 6, 1, 4, 0, 0, 0, 11])
    const sockets = [1, 2, 3].map(() => connect(port, '127.0.0.1'))
    const answers = sockets.map((socket) => received(socket, 2 * 31))
    for (const [i, socket] of sockets.entries()) {
      const both = Buffer.concat([request(500 + i), request(900 + i)])
      socket.write(both.subarray(0, 5))
      setTimeout(() => socket.write(both.subarray(5)), 30)
    }
    for (const [i, answer] of (await Promise.all(answers)).entries()) {
      expect(answer.length).toBe(62)
      expect([answer.readUInt16BE(0), answer.readUInt16BE(31)]).toEqual([500 + i, 900 + i])
      expect([...answer.subarray(2, 9)]).toEqual([0, 0, 0, 25, 1, 4, 22])
    }
    for (const socket of sockets) socket.destroy()
  })

  it('a client that does not speak Modbus is hung up on, and the others go on', async () => {
    const port = simulator.portOf('amplifier')
    const stranger = connect(port, '127.0.0.1')
    stranger.write('GET / HTTP/1.1\r\n\r\n')
    expect((await received(stranger, 1000)).length).toBe(0)
    const client = connect(port, '127.0.0.1')
    const answer = received(client, 11)
    client.write(Buffer.from([0, 1, 0, 0, 0, 6, 255, 4, 0, 10, 0, 1]))
    expect([...(await answer)]).toEqual([0, 1, 0, 0, 0, 5, 255, 4, 2, 0, 0])
    client.destroy()
  })

  it('a silent device gives no answer until it is told to speak again', async () => {
    await simulator.ask({ do: 'silent', device: 'amplifier', on: true })
    const client = connect(simulator.portOf('amplifier'), '127.0.0.1')
    let answered = false
    const answer = received(client, 11).then((bytes) => {
      answered = true
      return bytes
    })
    const request = Buffer.from([0, 7, 0, 0, 0, 6, 1, 4, 0, 10, 0, 1])
    client.write(request)
    await new Promise((resolve) => setTimeout(resolve, 200))
    expect(answered).toBe(false)
    await simulator.ask({ do: 'silent', device: 'amplifier', on: false })
    client.write(request)
    expect((await answer).length).toBe(11)
    client.destroy()
  })
})

describe('simulator over Modbus RTU', () => {
  it.skipIf(noSerial !== null)(
    titled('mbpoll reads both units over a serial line, a third does not answer', noSerial),
    async () => {
      const pair: PtyPair = await ptyPair()
      const simulator = await startSimulatorProcess('demo', '--rtu', pair.a)
      try {
        await simulator.ask({ do: 'pause' })
        const { registers } = await simulator.dump()
        const line = serial(pair.b)
        expect(mbpoll(line, reads(1, '3:hex', 0, 11)).values).toEqual(registers.amplifier)
        expect(mbpoll(line, reads(2, '4', 0, 4)).values).toEqual(registers.module)
        expect(mbpoll(line, [...reads(3, '3', 0, 1), '-o', '0.3']).complaint).toMatch(/timed out/)
        const write = spawnSync('mbpoll', ['-1', '-0', '-a', '2', '-t', '4', '-r', '0', ...line, '5', '6'], {
          encoding: 'utf8',
        })
        expect(write.stderr).toMatch(/Illegal function/)
      } finally {
        expect(await simulator.stop()).toBe(0)
        await pair.remove()
      }
    },
  )
})

describe('simulator as a program', () => {
  it('shows the same instant as an IIO tree, and writes the config with its ports', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'evenpull-simulator-'))
    const simulator = await startSimulatorProcess('demo', '--iio', folder, '--write-config', join(folder, 'line.yaml'))
    try {
      const { config } = parseConfig(readFileSync(join(folder, 'line.yaml'), 'utf8'), 'line.yaml')
      const ports = config.devices.map((device) => (device.transport === 'modbus-tcp' ? device.port : 0))
      expect(ports).toEqual([simulator.portOf('amplifier'), simulator.portOf('module')])

      await simulator.ask({ do: 'pause' })
      const { state } = await simulator.dump()
      const number = (name: string) => Number(readFileSync(join(folder, 'iio:device0', name), 'utf8'))
      const millivolts = (i: number) =>
        (number(`in_voltage${i}_raw`) + number(`in_voltage${i}_offset`)) * number(`in_voltage${i}_scale`)
      const cells = state.zones['coater-outfeed']?.cells
      // 4 V per mV/V; the tree is written up to 20 ms after the instant it was paused at.
      await expect.poll(() => Math.abs(millivolts(0) - 4000 * (cells?.drive_side.output ?? 0))).toBeLessThan(0.16)
      await expect.poll(() => Math.abs(millivolts(1) - 4000 * (cells?.operator_side.output ?? 0))).toBeLessThan(0.16)
    } finally {
      await simulator.stop()
      rmSync(folder, { recursive: true, force: true })
    }
  })

  it('stops cleanly on SIGINT and SIGTERM, with clients connected, and gives its ports back', async () => {
    for (const signal of ['SIGINT', 'SIGTERM'] as const) {
      const simulator = await startSimulatorProcess('start-stop')
      const port = simulator.portOf('amplifier')
      const client = connect(port, '127.0.0.1')
      await new Promise((resolve) => client.once('connect', resolve))
      const hungUp = received(client, 1)
      expect(await simulator.stop(signal)).toBe(0)
      expect((await hungUp).length).toBe(0)
      const again = createServer()
      await new Promise<void>((resolve, reject) => again.once('error', reject).listen(port, '127.0.0.1', resolve))
      await new Promise((resolve) => again.close(resolve))
    }
  })

  const run = (...options: string[]) =>
    spawnSync(process.execPath, simulatorWords(...options), { encoding: 'utf8', timeout: 30_000 })

  it('says which port is taken and ends with 1', async () => {
    const holder = createServer()
    await new Promise<void>((resolve) => holder.listen(0, '127.0.0.1', resolve))
    const address = holder.address()
    const port = typeof address === 'object' && address !== null ? address.port : 0
    const { status, stderr } = run('demo', '--port', '0', '--port2', String(port))
    expect(stderr).toContain(`EVP_PORT_TAKEN: 127.0.0.1:${port} is in use`)
    expect(status).toBe(1)
    await new Promise((resolve) => holder.close(resolve))
  })

  it('says what is wrong with the command line and ends with 2, as JSON when asked', () => {
    const unknown = run('other', '--json')
    expect(JSON.parse(unknown.stderr)).toMatchObject({ code: 'EVP_USAGE', message: expect.stringContaining('demo: ') })
    expect(unknown.status).toBe(2)
    const serialPath = run('demo', '--port', '0', '--port2', '0', '--rtu', '/nowhere/tty')
    expect(serialPath.stderr).toMatch(/EVP_SERIAL_OPEN: cannot open \/nowhere\/tty/)
    expect(serialPath.status).toBe(1)
    expect(run('--help')).toMatchObject({ status: 0, stdout: expect.stringContaining('--time-scale') })
  })
})
