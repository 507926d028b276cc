import ModbusRTU from 'modbus-serial'
import { afterEach, describe, expect, it } from 'vitest'
import { readMonotonic } from '../../gateway/clock.ts'
import { GuardedPort } from '../../gateway/transports/modbus/guarded-port.ts'
import { ModbusExceptionError } from '../../gateway/transports/modbus/modbus-exception.ts'
import { createModbusTransport, type ModbusTransportOptions } from '../../gateway/transports/modbus/modbus-transport.ts'
import type { PolledTransport } from '../../gateway/transports/transport.ts'
import { missing, titled } from './support/installed.ts'
import { MisbehavingServer, registerValue, slowCrc } from './support/misbehaving-server.ts'
import { readOf, rtuDevice, rtuOverTcpDevice, tcpDevice, timed } from './support/modbus-devices.ts'
import { until } from './support/processes.ts'
import { ptyToTcp } from './support/pty.ts'

const cleanups: (() => Promise<void>)[] = []

afterEach(async () => {
  for (const cleanup of cleanups.splice(0).reverse()) await cleanup()
})

type Line = 'TCP' | 'RTU over TCP' | 'RTU'
const LINES = ['TCP', 'RTU over TCP', 'RTU'] as const
const reasonOf = (line: Line) => (line === 'RTU' ? missing('socat') : null)

async function openLine(line: Line, timeoutMs = 250, options?: ModbusTransportOptions) {
  const server = await new MisbehavingServer(line === 'TCP' ? 'tcp' : 'rtu').listen()
  cleanups.push(() => server.vanish())
  const bridge = line === 'RTU' ? await ptyToTcp(server.port) : null
  if (bridge !== null) cleanups.push(() => bridge.remove())
  const device =
    bridge !== null
      ? rtuDevice(bridge.path, timeoutMs)
      : (line === 'TCP' ? tcpDevice : rtuOverTcpDevice)(server.port, timeoutMs)
  const transport = createModbusTransport(device, options)
  cleanups.push(() => transport.close())
  return { server, transport }
}

const newestWords = (server: MisbehavingServer) => {
  const newest = server.newest
  if (newest === undefined) throw new Error('the server has seen no request')
  return Array.from({ length: newest.count }, (_, i) => registerValue(newest.address + i, newest.n))
}

/** Reads until an answer comes, and tells how long that took. */
async function untilAnswered(transport: PolledTransport, withinMs: number): Promise<number> {
  const begin = readMonotonic()
  for (;;) {
    try {
      await transport.read(readOf(0, 2))
      return readMonotonic() - begin
    } catch (error) {
      if (readMonotonic() - begin > withinMs) throw error
    }
  }
}

for (const line of LINES) {
  const reason = reasonOf(line)
  describe.skipIf(reason !== null)(titled(`Modbus ${line}`, reason), () => {
    it('300 reads at once are asked one by one, and each gets its own value', async () => {
      const { server, transport } = await openLine(line, 5000)
      let inFlight = 0
      let most = 0
      server.normally((turn) => {
        most = Math.max(most, ++inFlight)
        setImmediate(() => {
          inFlight--
          turn.send(turn.frame({ words: turn.words().map((_, i) => turn.request.address + i) }))
        })
      })
      const addresses = Array.from({ length: 300 }, (_, i) => i * 7)
      const answers = await Promise.all(addresses.map((address) => transport.read(readOf(address, 2))))
      expect(answers.map(({ words }) => words)).toEqual(addresses.map((address) => [address, address + 1]))
      expect(most).toBe(1)
      expect(transport.counters).toEqual({ violations: 0, lateAnswers: 0, reconnects: 0 })
    })

    it('several units on one line: each answers for itself, and a dead one does not harm the others', async () => {
      const { server, transport } = await openLine(line, 100)
      server.normally((turn) => {
        if (turn.request.unitId !== 3) turn.send(turn.frame({ words: [turn.request.unitId, turn.request.address] }))
      })
      for (let round = 0; round < 3; round++) {
        for (const unit of [1, 2, 3, 247]) {
          const reading = transport.read(readOf(10 * unit, 2, unit))
          if (unit === 3) await expect(reading).rejects.toMatchObject({ code: 'EVP_DEVICE_TIMEOUT' })
          else expect((await reading).words).toEqual([unit, 10 * unit])
        }
      }
      expect(transport.counters.reconnects).toBe(0)
    })

    it('a device that vanishes gives errors, and right values within 2 s of its return', async () => {
      const { server, transport } = await openLine(line, 150)
      await transport.read(readOf(0, 2))
      await server.vanish()
      const begin = readMonotonic()
      const codes = new Set<string>()
      while (readMonotonic() - begin < 1500) {
        await transport.read(readOf(0, 2)).then(
          () => codes.add('an answer'),
          (error) => codes.add(String(error.code)),
        )
      }
      const reached = line === 'RTU' ? 'EVP_SERIAL_OPEN' : 'EVP_DEVICE_UNREACHABLE'
      expect(codes).toContain(reached)
      expect(codes).not.toContain('an answer')
      await server.listen()
      expect(await untilAnswered(transport, 5000)).toBeLessThan(2000)
      const { words } = await transport.read(readOf(100, 3))
      expect(words).toEqual(newestWords(server))
      expect(transport.counters.reconnects).toBeGreaterThanOrEqual(1)
    })

    it('a device that is absent at the start is found within 2 s of its coming', async () => {
      const { server, transport } = await openLine(line, 150)
      await server.vanish()
      await expect(transport.read(readOf(0, 2))).rejects.toBeDefined()
      await server.listen()
      expect(await untilAnswered(transport, 5000)).toBeLessThan(2000)
    })

    it('an answer is dated between the request and the reading of it, with half the round trip', async () => {
      const { server, transport } = await openLine(line)
      server.normally((turn) => turn.sendAfter(30, turn.frame()))
      await transport.read(readOf(0, 2))
      const before = readMonotonic()
      const { tMs, halfWidthMs } = await transport.read(readOf(0, 2))
      const after = readMonotonic()
      expect(tMs - halfWidthMs).toBeGreaterThanOrEqual(before)
      expect(tMs + halfWidthMs).toBeLessThanOrEqual(after)
      expect(halfWidthMs).toBeGreaterThanOrEqual(14)
    })

    it('a wrong value is not made of an exception: the error carries its code', async () => {
      const { server, transport } = await openLine(line)
      server.normally((turn) => turn.send(turn.exception(2)))
      const error = await transport.read(readOf(0, 2)).catch((reason: unknown) => reason)
      expect(error).toBeInstanceOf(ModbusExceptionError)
      expect(error).toMatchObject({ code: 'EVP_MODBUS_EXCEPTION', exceptionCode: 2 })
    })

    it('close refuses what still waits, and every later read', async () => {
      const { server, transport } = await openLine(line, 5000)
      server.normally(() => {})
      const waiting = [transport.read(readOf(0, 2)), transport.read(readOf(2, 2))]
      const refused = Promise.allSettled(waiting)
      await until('the request has arrived', () => server.newest !== undefined)
      expect(await timed(() => transport.close())).toBeLessThan(2000)
      for (const result of await refused) {
        expect(result).toMatchObject({ status: 'rejected', reason: { code: 'EVP_DEVICE_CLOSED' } })
      }
      await expect(transport.read(readOf(0, 2))).rejects.toMatchObject({ code: 'EVP_DEVICE_CLOSED' })
    })
  })
}

describe('a lost TCP link', () => {
  for (const [name, hangUp] of [
    ['FIN', (server: MisbehavingServer) => server.misbehave(1, (turn) => turn.socket.end())],
    ['RST', (server: MisbehavingServer) => server.misbehave(1, (turn) => turn.socket.resetAndDestroy())],
  ] as const) {
    it(`${name} fails the request at once, not at its deadline of 5 s`, async () => {
      const { server, transport } = await openLine('TCP', 5000)
      await transport.read(readOf(0, 2))
      hangUp(server)
      const took = await timed(async () => {
        await expect(transport.read(readOf(0, 2))).rejects.toMatchObject({ code: 'EVP_DEVICE_CLOSED' })
      })
      expect(took).toBeLessThan(1000)
      expect((await transport.read(readOf(0, 2))).words).toEqual(newestWords(server))
    })
  }

  it('a link that stays open but silent is given up after 3 timeouts, and a new one answers', async () => {
    const { server, transport } = await openLine('TCP', 60)
    await transport.read(readOf(0, 2))
    for (const socket of server.sockets) socket.pause()
    const codes: string[] = []
    for (let i = 0; i < 3; i++) await transport.read(readOf(0, 2)).catch((error) => codes.push(error.code))
    expect(codes).toEqual(['EVP_DEVICE_TIMEOUT', 'EVP_DEVICE_TIMEOUT', 'EVP_DEVICE_TIMEOUT'])
    expect(await untilAnswered(transport, 5000)).toBeLessThan(2000)
    expect(transport.counters.reconnects).toBe(1)
  })

  it('reads that queue while the link is down are refused together, not one timeout after another', async () => {
    const { server, transport } = await openLine('TCP', 200)
    await server.vanish()
    const took = await timed(() => Promise.allSettled(Array.from({ length: 100 }, () => transport.read(readOf(0, 2)))))
    expect(took).toBeLessThan(5000)
  })
})

describe('transaction ids', () => {
  it('an answer kept back for 256 requests, then sent in place of the right one, is not taken', async () => {
    const { server, transport } = await openLine('TCP', 100)
    let kept: Buffer | null = null
    server.misbehave(1, (turn) => {
      kept = turn.frame()
    })
    await expect(transport.read(readOf(0, 2))).rejects.toMatchObject({ code: 'EVP_DEVICE_TIMEOUT' })
    for (let i = 0; i < 255; i++) await transport.read(readOf(0, 2))
    server.misbehave(1, (turn) => {
      if (kept !== null) turn.send(kept)
      turn.sendAfter(20, turn.frame())
    })
    expect((await transport.read(readOf(0, 2))).words).toEqual(newestWords(server))
  })

  it('an answer kept back until the 16-bit id has come round is not taken: its id was not used again', async () => {
    const { server, transport } = await openLine('TCP', 2000)
    let kept: Buffer | null = null
    let keptId = -1
    server.misbehave(1, (turn) => {
      kept = turn.frame()
      keptId = turn.request.transactionId
    })
    await expect(transport.read(readOf(0, 2))).rejects.toMatchObject({ code: 'EVP_DEVICE_TIMEOUT' })
    let reused = 0
    server.normally((turn) => {
      if (turn.request.transactionId === keptId) reused++
      turn.send(turn.frame())
    })
    for (let i = 0; i < 65_600; i++) await transport.read(readOf(0, 2))
    expect(reused).toBe(0)
    server.misbehave(1, (turn) => {
      if (kept !== null) turn.send(kept)
      turn.sendAfter(20, turn.frame())
    })
    expect((await transport.read(readOf(0, 2))).words).toEqual(newestWords(server))
    expect(transport.counters.reconnects).toBe(0)
  })
})

describe('the read gate', () => {
  function gated() {
    const left: Buffer[] = []
    const port = new GuardedPort((adu) => left.push(adu))
    const client = new ModbusRTU(port)
    client.open()
    return { client, left }
  }
  const writes: Record<string, (client: ModbusRTU) => Promise<unknown>> = {
    'write single coil (05)': (c) => c.writeCoil(0, true),
    'write single register (06)': (c) => c.writeRegister(0, 1),
    'write multiple coils (15)': (c) => c.writeCoils(0, [true, false]),
    'write multiple registers (16)': (c) => c.writeRegisters(0, [1, 2]),
    'report server id (17)': (c) => c.reportServerID(1),
    'mask write register (22)': (c) => c.maskWriteRegister(0, 1, 1),
    'read and write registers (23)': (c) =>
      new Promise((_, reject) => {
        try {
          c.writeFC23(1, 0, 1, 0, 1, [1], reject)
        } catch (error) {
          reject(error)
        }
      }),
    'read device identification (43)': (c) => c.readDeviceIdentification(1, 0),
    'a function of the maker (65)': (c) => c.customFunction(65, [1, 2, 3, 4]),
  }

  it.each(Object.entries(writes))('%s is refused before a byte leaves', async (_, write) => {
    const { client, left } = gated()
    await expect(write(client)).rejects.toMatchObject({ code: 'EVP_FUNCTION_REFUSED' })
    expect(left).toEqual([])
  })

  it('of all 256 function codes only 1 to 4 pass', () => {
    const passed: number[] = []
    const port = new GuardedPort((adu) => passed.push(adu.readUInt8(1)))
    for (let code = 0; code < 256; code++) {
      const body = Buffer.from([1, code, 0, 0, 0, 1])
      const crc = slowCrc(body)
      try {
        port.write(Buffer.concat([body, Buffer.from([crc & 0xff, crc >> 8])]))
      } catch (error) {
        expect(error).toMatchObject({ code: 'EVP_FUNCTION_REFUSED' })
      }
    }
    expect(passed).toEqual([1, 2, 3, 4])
  })

  it('a longer request under a read function is refused', () => {
    const port = new GuardedPort(() => {
      throw new Error('bytes left')
    })
    expect(() => port.write(Buffer.from([1, 3, 0, 0, 0, 1, 0, 0, 0, 0]))).toThrow(/8/)
    expect(() => port.write(Buffer.alloc(0))).toThrow(/function code missing/)
  })

  it('a request outside the standard is refused before a byte leaves', async () => {
    const bytes: string[] = []
    const { transport } = await openLine('TCP', 250, { onBytes: (direction) => bytes.push(direction) })
    const wrong = [readOf(0, 0), readOf(0, 126), readOf(65_535, 2), readOf(-1, 1), readOf(0, 1, 256), readOf(0.5, 1)]
    for (const request of [...wrong, { ...readOf(0, 1), function: null }]) {
      await expect(transport.read(request)).rejects.toMatchObject({ code: 'EVP_REQUEST_INVALID' })
    }
    expect(bytes).toEqual([])
  })

  it('onBytes sees the bytes of both directions as they are on the wire', async () => {
    const seen: string[] = []
    const { transport } = await openLine('TCP', 250, {
      onBytes: (to, bytes) => seen.push(`${to} ${bytes.toString('hex')}`),
    })
    await transport.read(readOf(0x0102, 1, 0x11, 3))
    expect(seen[0]).toBe('out 9e3700000006110301020001')
    expect(seen[1]).toMatch(/^in 9e3700000005110302[0-9a-f]{4}$/)
  })
})
