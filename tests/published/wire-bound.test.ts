import { describe, expect, test } from 'vitest'
import { checkWireBounds, maxPollsPerSecond, pollMs } from '../../gateway/config/wire-bound.ts'
import type { PlannedRequest } from '../../gateway/poller/types.ts'
import { bitsPerCharacter, type SerialDevice } from '../../gateway/transports/modbus/silence.ts'
import { modbusRtuDevice } from '../../shared/schemas/config/device.ts'

function line(baud: number, settings: Partial<SerialDevice> = {}): SerialDevice {
  return { ...modbusRtuDevice.parse({ id: 'line', transport: 'modbus-rtu', path: '/dev/ttyS0', baud }), ...settings }
}

const read = (count: number): PlannedRequest => ({ unitId: 1, function: 4, address: 0, count, items: [] })

describe('characters on a serial line (MODBUS over Serial Line V1.02 §2.5.1)', () => {
  // "The default parity mode must be even"; without parity 2 stop bits keep the 11 bits: §2.5.1.
  test('have 11 bits in 8E1 and 8N2, 10 in 8N1', () => {
    expect(bitsPerCharacter(line(9600))).toBe(11)
    expect(bitsPerCharacter(line(9600, { parity: 'none', stop_bits: 2 }))).toBe(11)
    expect(bitsPerCharacter(line(9600, { parity: 'none' }))).toBe(10)
  })
})

describe('polls a second that a wire can carry', () => {
  // Worked by hand from the frames of Modbus Application Protocol V1.1b3 §6.4 (8 bytes out,
  // 5 + 2×4 back: 21 characters) and T3.5 of Serial Line V1.02 §2.5.1.1 (3.5 characters, 1.750 ms
  // above 19200 baud) after the request and after the answer:
  //   9600: 231/9.6 + 2×38.5/9.6 = 308/9.6 = 32.083 ms;  19200: 308/19.2 = 16.042 ms;
  //   115200: 231/115.2 + 2×1.75 = 5.505 ms
  test.each([
    [9600, 32.083, 31],
    [19_200, 16.042, 62],
    [115_200, 5.505, 182],
  ])('at %i baud 8E1, 4 registers: one in %f ms, %i a second', (baud, ms, rate) => {
    expect(pollMs([read(4)], line(baud))).toBeCloseTo(ms, 3)
    expect(Math.round(maxPollsPerSecond([read(4)], line(baud)))).toBe(rate)
  })

  test('are fewer with a second request than with the same registers in one', () => {
    expect(pollMs([read(2), read(2)], line(9600))).toBeGreaterThan(pollMs([read(4)], line(9600)))
  })

  test('more are refused, with the arithmetic and a rate that can be copied', () => {
    const device = line(9600, { rate_hz: 50 })
    const [finding, ...more] = checkWireBounds([{ device, requests: [read(4)], pairs: [] }])
    expect(more).toEqual([])
    expect(finding).toMatchObject({ code: 'EVP_CONFIG_RATE', path: ['devices', 0, 'rate_hz'] })
    expect(finding?.message).toContain('8 + 5 + 2×4 = 21 characters of 11 bits at 9600 baud = 24.06 ms')
    expect(finding?.message).toContain('2 silences of 4.01 ms: 32.08 ms, so at most 31.1 a second')
    const told = line(9600, { rate_hz: 31.1 })
    expect(checkWireBounds([{ device: told, requests: [read(4)], pairs: [] }])).toEqual([])
  })
})
