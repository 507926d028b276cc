import ModbusRTU from 'modbus-serial'
import { describe, expect, it } from 'vitest'
import { crc16, hasCrc, withCrc } from '../../gateway/transports/modbus/crc16.ts'
import type { ExpectedReply } from '../../gateway/transports/modbus/framing.ts'
import { rtuFraming } from '../../gateway/transports/modbus/framing-rtu.ts'
import { tcpFraming } from '../../gateway/transports/modbus/framing-tcp.ts'
import { GuardedPort } from '../../gateway/transports/modbus/guarded-port.ts'
import { silenceMs } from '../../gateway/transports/modbus/silence.ts'
import { rtuDevice, tcpDevice } from '../integration/support/modbus-devices.ts'

const hex = (text: string) => Buffer.from(text.replaceAll(' ', ''), 'hex')
const none = () => false

/** What leaves through the port, in RTU form. */
function asked(ask: (client: ModbusRTU) => void): Buffer {
  let left: Buffer = Buffer.alloc(0)
  const client = new ModbusRTU(new GuardedPort((adu) => (left = adu)))
  client.open()
  ask(client)
  return left
}

function expected(parts: Partial<ExpectedReply>): ExpectedReply {
  return { transactionId: 1, unitId: 1, function: 3, count: 1, sent: Buffer.alloc(0), ...parts }
}

/** A PDU in both wrappings: unit 1, transaction 0x1501. */
function wrapped(pdu: string) {
  const body = Buffer.concat([Buffer.from([1]), hex(pdu)])
  const header = Buffer.from([0x15, 0x01, 0, 0, 0, body.length])
  return { rtu: withCrc(body), tcp: Buffer.concat([header, body]) }
}

// Source: Modbus Application Protocol Specification V1.1b3. Status: V (stored copy read).
describe('Modbus Application Protocol V1.1b3', () => {
  it('§6.3 read holding registers: 03 00 6B 00 03 is asked', () => {
    const adu = asked((client) => client.writeFC3(1, 0x6b, 3, () => {}))
    expect(adu.subarray(1, -2)).toEqual(hex('03 00 6B 00 03'))
    expect(tcpFraming.encode(adu, 0x1501)).toEqual(hex('15 01 00 00 00 06 01 03 00 6B 00 03'))
    expect(rtuFraming.encode(adu, 0).subarray(0, 6)).toEqual(hex('01 03 00 6B 00 03'))
  })

  it('§6.3: the answer 03 06 02 2B 00 00 00 64 is taken in both framings, data 022B 0000 0064', () => {
    const { rtu, tcp } = wrapped('03 06 02 2B 00 00 00 64')
    const want = expected({ count: 3, transactionId: 0x1501 })
    for (const parsed of [rtuFraming.parse(rtu, want, none), tcpFraming.parse(tcp, want, none)]) {
      expect(parsed).toMatchObject({ kind: 'reply', adu: rtu })
    }
  })

  it('§6.3 through the whole port: the library reads 555, 0, 100', () => {
    let words: number[] = []
    const port = new GuardedPort(() => {})
    const client = new ModbusRTU(port)
    client.open()
    client.writeFC3(1, 0x6b, 3, (_, result) => (words = result.data))
    port.deliver(wrapped('03 06 02 2B 00 00 00 64').rtu)
    expect(words).toEqual([555, 0, 100])
  })

  it('§6.4 read input registers: 04 00 08 00 01 is asked, and 04 02 00 0A is its answer', () => {
    const adu = asked((client) => client.writeFC4(1, 8, 1, () => {}))
    expect(adu.subarray(1, -2)).toEqual(hex('04 00 08 00 01'))
    const { rtu, tcp } = wrapped('04 02 00 0A')
    const want = expected({ function: 4, transactionId: 0x1501 })
    expect(rtuFraming.parse(rtu, want, none).kind).toBe('reply')
    expect(tcpFraming.parse(tcp, want, none).kind).toBe('reply')
  })

  it('§7: the exception 81 02 answers function 01', () => {
    const { rtu, tcp } = wrapped('81 02')
    const want = expected({ function: 1, transactionId: 0x1501 })
    expect(rtuFraming.parse(rtu, want, none)).toEqual({ kind: 'exception', adu: rtu })
    expect(tcpFraming.parse(tcp, want, none)).toEqual({ kind: 'exception', adu: rtu })
    expect(rtuFraming.parse(rtu, expected({ function: 3 }), none).kind).toBe('invalid')
  })
})

// Source: Modbus Messaging on TCP/IP Implementation Guide V1.0b §4.4.1.2. Status: V (stored copy read).
it('Messaging Guide V1.0b §4.4.1.2: reading register 4 of unit FF is 15 01 00 00 00 06 FF 03 00 04 00 01', () => {
  const adu = asked((client) => client.writeFC3(0xff, 4, 1, () => {}))
  expect(tcpFraming.encode(adu, 0x1501)).toEqual(hex('15 01 00 00 00 06 FF 03 00 04 00 01'))
})

// Source: Modbus over Serial Line V1.02. Status: V (stored copy read).
describe('Modbus over Serial Line V1.02', () => {
  it('§6.2.2: the CRC of 02 07 is 1241 hex, sent 41 12', () => {
    expect(crc16(hex('02 07'))).toBe(0x1241)
    expect(withCrc(hex('02 07'))).toEqual(hex('02 07 41 12'))
    expect(hasCrc(hex('02 07 41 12'))).toBe(true)
    expect(hasCrc(hex('02 07 12 41'))).toBe(false)
  })

  it('§2.5.1.1: T3.5 is 1.750 ms above 19200 baud', () => {
    const line = rtuDevice('/dev/none')
    expect(silenceMs(line)).toBe(1.75)
    expect(
      silenceMs({
        ...line,
        transport: 'modbus-rtu',
        path: '/dev/none',
        baud: 38_400,
        parity: 'even',
        data_bits: 8,
        stop_bits: 1,
      }),
    ).toBe(1.75)
  })

  it.each([
    // 3.5 characters of 11 bits (8E1), computed: 3.5 · 11 / baud. Status: C (hand arithmetic).
    [9600, 'even', 1, 4.0104],
    [19_200, 'even', 1, 2.0052],
    // 8N2 is 11 bits as well, as §2.5.1 asks for without parity; 8N1 is 10.
    [9600, 'none', 2, 4.0104],
    [9600, 'none', 1, 3.6458],
  ] as const)('§2.5.1.1: T3.5 at %i baud, parity %s, %i stop bits is 3.5 characters', (baud, parity, stop_bits, ms) => {
    const line = { ...rtuDevice('/dev/none'), transport: 'modbus-rtu', path: '/dev/none', data_bits: 8 } as const
    expect(silenceMs({ ...line, baud, parity, stop_bits })).toBeCloseTo(ms, 4)
  })

  it('Modbus TCP has no silence between frames', () => {
    expect(silenceMs(tcpDevice(502))).toBe(0)
  })
})
