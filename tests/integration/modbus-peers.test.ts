import { afterEach, describe, expect, it } from 'vitest'
import { readMonotonic } from '../../gateway/clock.ts'
import { createModbusTransport } from '../../gateway/transports/modbus/modbus-transport.ts'
import type { PolledTransport } from '../../gateway/transports/transport.ts'
import type { ModbusDeviceConfig } from '../../shared/schemas/config.ts'
import { missing, titled } from './support/installed.ts'
import { readOf, rtuDevice, tcpDevice } from './support/modbus-devices.ts'
import { startLibmodbusServer, startPymodbusServer } from './support/peers.ts'
import { ptyPair } from './support/pty.ts'

const cleanups: (() => Promise<void>)[] = []

afterEach(async () => {
  for (const cleanup of cleanups.splice(0).reverse()) await cleanup()
})

function transportTo(device: ModbusDeviceConfig): PolledTransport {
  const transport = createModbusTransport(device)
  cleanups.push(() => transport.close())
  return transport
}

async function untilAnswered(transport: PolledTransport): Promise<number> {
  const begin = readMonotonic()
  while (readMonotonic() - begin < 5000) {
    const answered = await transport.read(readOf(0, 2)).then(
      () => true,
      () => false,
    )
    if (answered) break
  }
  return readMonotonic() - begin
}

const VALUES = { 0: 4, 1: 20_000, 2: 65_535, 3: 32_768, 107: 555, 108: 0, 109: 100 }

/** What every peer must be read as, whatever is between. */
async function expectRightValues(transport: PolledTransport) {
  expect((await transport.read(readOf(0, 4, 17, 4))).words).toEqual([4, 20_000, 65_535, 32_768])
  expect((await transport.read(readOf(0, 4, 17, 3))).words).toEqual([4, 20_000, 65_535, 32_768])
  expect((await transport.read(readOf(107, 3, 17, 3))).words).toEqual([555, 0, 100])
  expect((await transport.read(readOf(0, 125, 17, 4))).words.slice(105, 111)).toEqual([0, 0, 555, 0, 100, 0])
  for (let i = 0; i < 200; i++) expect((await transport.read(readOf(107, 1, 17))).words).toEqual([555])
  await expect(transport.read(readOf(199, 2, 17))).rejects.toMatchObject({
    code: 'EVP_MODBUS_EXCEPTION',
    exceptionCode: 2,
  })
  expect((await transport.read(readOf(199, 1, 17))).words).toEqual([0])
  expect(transport.counters).toEqual({ violations: 0, lateAnswers: 0, reconnects: 0 })
}

const SETTINGS = { unit: 17, registers: 200, values: VALUES }

const noPymodbus = missing('pymodbus')
describe.skipIf(noPymodbus !== null)(titled('a pymodbus server', noPymodbus), () => {
  it('is read right over TCP', async () => {
    const peer = await startPymodbusServer(SETTINGS)
    cleanups.push(peer.stop)
    await expectRightValues(transportTo(tcpDevice(peer.port, 2000)))
  })
})

const noLibmodbus = missing('gcc', 'libmodbus')
describe.skipIf(noLibmodbus !== null)(titled('a libmodbus server on TCP', noLibmodbus), () => {
  it('is read right, also after its registers change', async () => {
    const peer = await startLibmodbusServer({ mode: 'tcp', ...SETTINGS })
    cleanups.push(peer.stop)
    const transport = transportTo(tcpDevice(peer.port, 2000))
    await expectRightValues(transport)
    await peer.set(3, 4711)
    expect((await transport.read(readOf(3, 1, 17))).words).toEqual([4711])
  })

  it('is read again within 2 s of its return after it was killed', async () => {
    const peer = await startLibmodbusServer({ mode: 'tcp', ...SETTINGS })
    const transport = transportTo(tcpDevice(peer.port, 250))
    await transport.read(readOf(0, 1))
    await peer.stop()
    await expect(transport.read(readOf(0, 1))).rejects.toBeDefined()
    const again = await startLibmodbusServer({ mode: 'tcp', port: peer.port, ...SETTINGS, values: { 0: 99 } })
    cleanups.push(again.stop)
    expect(await untilAnswered(transport)).toBeLessThan(2000)
    expect((await transport.read(readOf(0, 1))).words).toEqual([99])
  })
})

const noRtu = missing('gcc', 'libmodbus', 'socat')
describe.skipIf(noRtu !== null)(titled('a libmodbus server on RTU over a pty pair', noRtu), () => {
  it('is read right, also after its registers change', async () => {
    const cable = await ptyPair()
    cleanups.push(cable.remove)
    const peer = await startLibmodbusServer({ mode: 'rtu', path: cable.b, ...SETTINGS })
    cleanups.push(peer.stop)
    const transport = transportTo(rtuDevice(cable.a, 2000))
    await expectRightValues(transport)
    await peer.set(3, 4711)
    expect((await transport.read(readOf(3, 1, 17))).words).toEqual([4711])
  })

  it('is read again within 2 s when it was silent for a while and the cable was in place', async () => {
    const cable = await ptyPair()
    cleanups.push(cable.remove)
    const peer = await startLibmodbusServer({ mode: 'rtu', path: cable.b, ...SETTINGS, unit: 1 })
    const transport = transportTo(rtuDevice(cable.a, 100))
    await transport.read(readOf(0, 2))
    await peer.stop()
    for (let i = 0; i < 8; i++) await expect(transport.read(readOf(0, 2))).rejects.toBeDefined()
    const again = await startLibmodbusServer({ mode: 'rtu', path: cable.b, ...SETTINGS, unit: 1, values: { 0: 99 } })
    cleanups.push(again.stop)
    expect(await untilAnswered(transport)).toBeLessThan(2000)
    expect((await transport.read(readOf(0, 2))).words).toEqual([99, 0])
  })

  it('is read again within 2 s when the serial path vanished and came back', async () => {
    const cable = await ptyPair()
    cleanups.push(cable.remove)
    const peer = await startLibmodbusServer({ mode: 'rtu', path: cable.b, ...SETTINGS, unit: 1 })
    const transport = transportTo(rtuDevice(cable.a, 100))
    await transport.read(readOf(0, 2))
    await cable.unplug()
    await peer.stop()
    const codes = new Set<string>()
    for (let i = 0; i < 8; i++) await transport.read(readOf(0, 2)).catch((error) => codes.add(error.code))
    expect(codes).toContain('EVP_SERIAL_OPEN')
    await cable.plug()
    const again = await startLibmodbusServer({ mode: 'rtu', path: cable.b, ...SETTINGS, unit: 1, values: { 0: 99 } })
    cleanups.push(again.stop)
    expect(await untilAnswered(transport)).toBeLessThan(2000)
    expect((await transport.read(readOf(0, 2))).words).toEqual([99, 0])
  })
})
