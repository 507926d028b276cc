import { connect } from 'node:net'
import { fileURLToPath } from 'node:url'
import { readMonotonic } from '../../gateway/clock.ts'
import { withCrc } from '../../gateway/transports/modbus/crc16.ts'
import { createModbusTransport } from '../../gateway/transports/modbus/modbus-transport.ts'
import { silenceMs } from '../../gateway/transports/modbus/silence.ts'
import { atTime } from '../../gateway/transports/modbus/wait.ts'
import { missing } from '../integration/support/installed.ts'
import { readOf, rtuDevice, tcpDevice } from '../integration/support/modbus-devices.ts'
import { end, start, untilPrinted } from '../integration/support/processes.ts'
import { ptyToTcp } from '../integration/support/pty.ts'
import type { Measured } from './bench.ts'

const SERVER = fileURLToPath(new URL('./modbus-bench-server.ts', import.meta.url))

const COUNT = 4
const ROUNDS = 15
const WARM_UP_ROUNDS = 3
const REQUESTS_A_ROUND = 1000
/** No amplifier answers faster than this; most need several times as long (common practice, no source). */
const FAST_DEVICE_MS = 0.5
const RTU_POLLS = 200
const RTU_REQUEST = 8
const RTU_ANSWER = 5 + 2 * COUNT
/** Start, 8 data, parity, stop. */
const CHARACTER_BITS = 11

interface Device {
  readonly port: number
  stop(): Promise<unknown>
}

async function startDevice(mode: 'tcp' | 'rtu' | 'rtu-still', characterMs = 0, silence = 0): Promise<Device> {
  const times = [String(characterMs), String(silence)]
  const child = start(process.execPath, ['--import', 'tsx', SERVER, mode, ...times])
  const [, port] = await untilPrinted(child, /ready (\d+)\n/)
  return { port: Number(port), stop: () => end(child) }
}

/** The least a client can do: build the request, wait for as many bytes as the answer has, read the registers. */
function bareClient(port: number) {
  const socket = connect({ host: '127.0.0.1', port, noDelay: true })
  let id = 0
  let got = 0
  let done: (words: number[]) => void = () => {}
  socket.on('data', (chunk) => {
    got += chunk.length
    if (got < 9 + 2 * COUNT) return
    got = 0
    const words: number[] = []
    for (let at = 9; at < 9 + 2 * COUNT; at += 2) words.push(chunk.readUInt16BE(at))
    done(words)
  })
  return {
    read: () =>
      new Promise<number[]>((resolve) => {
        done = resolve
        const request = Buffer.from([0, 0, 0, 0, 0, 6, 1, 4, 0, 0, 0, COUNT])
        request.writeUInt16BE(id++ & 0xffff, 0)
        socket.write(request)
      }),
    close: () => socket.destroy(),
  }
}

async function msEach(read: () => Promise<unknown>, times: number): Promise<number> {
  const begin = readMonotonic()
  for (let i = 0; i < times; i++) await read()
  return (readMonotonic() - begin) / times
}

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[values.length >> 1] ?? Number.NaN
}

/** Rounds take turns, so that whatever else the machine does meets both alike. */
async function guardedAgainstBare(answerMs: number, requests: number): Promise<Measured[]> {
  const device = await startDevice('tcp', answerMs)
  const transport = createModbusTransport(tcpDevice(device.port, 1000))
  const bare = bareClient(device.port)
  const guardedRead = () => transport.read(readOf(0, COUNT))
  const guardedMs: number[] = []
  const bareMs: number[] = []
  for (let round = 0; round < ROUNDS + WARM_UP_ROUNDS; round++) {
    const guardedFirst = round % 2 === 0
    const first = await msEach(guardedFirst ? guardedRead : bare.read, requests)
    const second = await msEach(guardedFirst ? bare.read : guardedRead, requests)
    if (round < WARM_UP_ROUNDS) continue
    guardedMs.push(guardedFirst ? first : second)
    bareMs.push(guardedFirst ? second : first)
  }
  bare.close()
  await transport.close()
  await device.stop()
  const ratios = bareMs.map((ms, i) => ms / (guardedMs[i] ?? Number.NaN))
  const added = guardedMs.map((ms, i) => 1000 * (ms - (bareMs[i] ?? Number.NaN)))
  const name = answerMs === 0 ? 'Modbus TCP' : `Modbus TCP, device answers after ${answerMs} ms`
  const note = `median of ${ROUNDS} interleaved rounds of ${requests} reads of ${COUNT} registers on loopback, device in a process of its own`
  return [
    { name: `${name}, bare socket`, value: 1000 / median(bareMs), unit: 'requests/s', note },
    { name: `${name}, guarded`, value: 1000 / median(guardedMs), unit: 'requests/s', note },
    { name: `${name}, guarded : bare`, value: median(ratios), unit: 'ratio', note: `target at least 0.95; ${note}` },
    { name: `${name}, added by the guards`, value: median(added), unit: 'µs/request', note },
  ]
}

/** The least a serial client can do: write, wait for as many bytes as the answer has, keep the silence. */
async function bareSerialClient(path: string, silence: number) {
  const { SerialPort } = await import('serialport')
  const port = new SerialPort({ path, baudRate: 115_200, autoOpen: false })
  await new Promise<void>((resolve, reject) => port.open((error) => (error ? reject(error) : resolve())))
  const request = withCrc(Buffer.from([1, 4, 0, 0, 0, COUNT]))
  let got = 0
  let done: () => void = () => {}
  port.on('data', (chunk: Buffer) => {
    got += chunk.length
    if (got < RTU_ANSWER) return
    got = 0
    atTime(readMonotonic() + silence, readMonotonic, done)
  })
  return {
    read: () =>
      new Promise<void>((resolve) => {
        done = resolve
        port.write(request)
      }),
    close: () => new Promise<void>((resolve) => port.close(() => resolve())),
  }
}

async function medianCycleMs(read: () => Promise<unknown>): Promise<number> {
  await msEach(read, 10)
  const cyclesMs: number[] = []
  for (let i = 0; i < RTU_POLLS; i++) cyclesMs.push(await msEach(read, 1))
  return median(cyclesMs)
}

/**
 * A poll cycle on a pty whose far end keeps the times of a wire, which a pty itself does not have.
 * What the emulation adds by itself is measured too, with a client that checks nothing.
 */
async function rtuAgainstWire(baud: number, signal: 'live' | 'still'): Promise<Measured[]> {
  const line = { ...rtuDevice('', 1000), transport: 'modbus-rtu', parity: 'even', data_bits: 8, stop_bits: 1 } as const
  const silence = silenceMs({ ...line, baud, path: '' })
  const characterMs = (1000 * CHARACTER_BITS) / baud
  const boundMs = (RTU_REQUEST + RTU_ANSWER) * characterMs + 2 * silence
  const device = await startDevice(signal === 'live' ? 'rtu' : 'rtu-still', characterMs, silence)
  const bridge = await ptyToTcp(device.port)
  const bare = await bareSerialClient(bridge.path, silence)
  const bareMs = await medianCycleMs(bare.read)
  await bare.close()
  const transport = createModbusTransport({ ...line, baud, path: bridge.path })
  const guardedMs = await medianCycleMs(() => transport.read(readOf(0, COUNT)))
  await transport.close()
  await bridge.remove()
  await device.stop()
  const name = `Modbus RTU at ${baud} 8E1, ${signal} signal, cycle`
  const times = `median of ${RTU_POLLS} cycles ${guardedMs.toFixed(2)} ms, bare ${bareMs.toFixed(2)} ms, bound ${boundMs.toFixed(2)} ms`
  const emulated = 'wire times emulated behind a pty, which has no baud rate'
  return [
    {
      name: `${name} : wire's bound`,
      value: guardedMs / boundMs,
      unit: 'ratio',
      note: `target at most 1.05; ${times}; ${emulated}`,
    },
    { name: `${name} : bare client's`, value: guardedMs / bareMs, unit: 'ratio', note: `${times}; ${emulated}` },
  ]
}

/** Guarded Modbus against a bare socket, and an RTU cycle against the wire, all in one run. */
export async function run(): Promise<Measured[]> {
  const lines = [
    ...(await guardedAgainstBare(0, REQUESTS_A_ROUND)),
    ...(await guardedAgainstBare(FAST_DEVICE_MS, REQUESTS_A_ROUND / 10)),
  ]
  if (missing('socat') !== null) return lines
  for (const baud of [9600, 19_200, 115_200]) lines.push(...(await rtuAgainstWire(baud, 'live')))
  lines.push(...(await rtuAgainstWire(19_200, 'still')))
  return lines
}

if (process.argv[1] === new URL(import.meta.url).pathname) console.table(await run())
