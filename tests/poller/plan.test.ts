import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { planRequests } from '../../gateway/poller/plan.ts'
import { resolveRecordings } from '../../gateway/poller/resolve-recordings.ts'
import type { DevicePlan, PlannedRequest } from '../../gateway/poller/types.ts'
import { EvenpullError } from '../../shared/errors.ts'
import { configSchema } from '../../shared/schemas/config.ts'
import { modbusConfig } from './build.ts'

function planOf(options: Parameters<typeof modbusConfig>[0]): DevicePlan {
  const [plan] = planRequests(modbusConfig(options))
  if (plan === undefined) throw new Error('no plan')
  return plan
}

const ranges = (requests: readonly PlannedRequest[]) => requests.map(({ address, count }) => [address, count])

function refusal(act: () => unknown): EvenpullError {
  try {
    act()
  } catch (error) {
    if (error instanceof EvenpullError) return error
    throw error
  }
  throw new Error('nothing was refused')
}

describe('planRequests', () => {
  test('registers up to merge_gap apart share a request, one more apart do not', () => {
    const channels = [
      { id: 'a', register: { address: 10 } },
      { id: 'b', register: { address: 15 } },
      { id: 'c', register: { address: 21 } },
    ]
    expect(ranges(planOf({ device: { merge_gap: 4 }, channels }).requests)).toEqual([
      [10, 6],
      [21, 1],
    ])
  })

  test('a request ends before it would exceed merge_max, and never inside a 32-bit value', () => {
    const channels = [0, 2, 4].map((address, i) => ({ id: `c${i}`, register: { address, type: 'float32' as const } }))
    expect(ranges(planOf({ device: { merge_max: 5 }, channels }).requests)).toEqual([
      [0, 4],
      [4, 2],
    ])
  })

  test('the two sides of a zone share a request across any gap that merge_max allows', () => {
    const options = {
      channels: [
        { id: 'ds', register: { address: 0 } },
        { id: 'os', register: { address: 60 } },
      ],
      pairs: [['ds', 'os']] as const,
    }
    expect(ranges(planOf(options).requests)).toEqual([[0, 61]])
    expect(ranges(planOf({ ...options, device: { merge_max: 60 } }).requests)).toEqual([
      [0, 1],
      [60, 1],
    ])
  })

  test('the two sides stay together where filling requests from the bottom would part them', () => {
    const channels = [0, 1, 2, 3].map((address) => ({ id: `c${address}`, register: { address } }))
    const { requests } = planOf({ device: { merge_max: 3 }, channels, pairs: [['c2', 'c3']] })
    expect(ranges(requests)).toEqual([
      [0, 2],
      [2, 2],
    ])
  })

  test('units and functions never share a request, and come in order', () => {
    const { requests } = planOf({
      channels: [
        { id: 'a', register: { address: 1, unit_id: 2 } },
        { id: 'b', register: { address: 0, unit_id: 1, function: 3 } },
        { id: 'c', register: { address: 0, unit_id: 1, function: 4 } },
      ],
    })
    expect(requests.map((r) => [r.unitId, r.function, r.address])).toEqual([
      [1, 3, 0],
      [1, 4, 0],
      [2, 4, 1],
    ])
  })

  test('"40011" is holding register offset 10 and "30011" input register offset 10, whatever `function` says', () => {
    const { requests } = planOf({
      channels: [
        { id: 'holding', register: { address: '40011' } },
        { id: 'input', register: { address: '30011', function: 3 } },
      ],
    })
    expect(requests.map((r) => [r.function, r.address, r.items[0]?.channelId])).toEqual([
      [3, 10, 'holding'],
      [4, 10, 'input'],
    ])
  })

  test('two channels may read the same register in one request', () => {
    const { requests } = planOf({
      channels: [
        { id: 'a', register: { address: 7, type: 'int32' } },
        { id: 'b', register: { address: 8 } },
      ],
    })
    expect(requests).toEqual([
      {
        unitId: 1,
        function: 4,
        address: 7,
        count: 2,
        items: [
          { channelId: 'a', offset: 0, words: 2, source: null },
          { channelId: 'b', offset: 1, words: 1, source: null },
        ],
      },
    ])
  })

  test('a value that ends past register 65535 is refused by name', () => {
    const error = refusal(() => planOf({ channels: [{ id: 'last', register: { address: 65535, type: 'float32' } }] }))
    expect(error.code).toBe('EVP_CONFIG_INVALID')
    expect(error.message).toContain('channel last')
  })

  test('IIO and replay devices have one request with one item a channel; without channels there is none', () => {
    const config = configSchema.parse({
      version: 1,
      devices: [
        { id: 'adc', transport: 'iio', device: 'iio:device0' },
        { id: 'tape', transport: 'replay', file: 'shift.csv' },
        { id: 'spare', transport: 'modbus-tcp', host: '127.0.0.1' },
      ],
      channels: [
        { id: 'a', device: 'adc', iio_channel: 'voltage0' },
        { id: 'b', device: 'adc', iio_channel: 'current1' },
        { id: 'c', device: 'tape', column: 'drive_side' },
      ],
      zones: [{ id: 'z', cells: { drive_side: 'a', operator_side: 'b' } }],
    })
    const [adc, tape, spare] = planRequests(config)
    const none = { unitId: null, function: null, address: null }
    expect(adc?.requests).toEqual([
      {
        ...none,
        count: 2,
        items: [
          { channelId: 'a', offset: 0, words: 1, source: 'voltage0' },
          { channelId: 'b', offset: 1, words: 1, source: 'current1' },
        ],
      },
    ])
    expect(adc?.pairs).toEqual([['a', 'b']])
    expect(tape?.requests).toEqual([
      { ...none, count: 1, items: [{ channelId: 'c', offset: 0, words: 1, source: 'drive_side' }] },
    ])
    expect(spare?.requests).toEqual([])
  })

  test('a channel that does not say where it is on its device is refused by name and key', () => {
    const config = configSchema.parse({
      version: 1,
      devices: [{ id: 'tape', transport: 'replay', file: 'shift.csv' }],
      channels: [{ id: 'c', device: 'tape' }],
      zones: [{ id: 'z', cells: { single: 'c' } }],
    })
    expect(refusal(() => planRequests(config)).message).toBe('channel c: "column" is missing; device tape needs it')
  })

  test('a recording is found beside the config file; an absolute path and other devices stay as they are', () => {
    const config = configSchema.parse({
      version: 1,
      devices: [
        { id: 'beside', transport: 'replay', file: 'runs/shift.csv' },
        { id: 'absolute', transport: 'replay', file: '/data/shift.csv' },
        { id: 'amp', transport: 'modbus-tcp', host: '127.0.0.1' },
      ],
      channels: [{ id: 'c', device: 'beside', column: 'drive_side' }],
      zones: [{ id: 'z', cells: { single: 'c' } }],
    })
    const plans = planRequests(config)
    const resolved = resolveRecordings(plans, '/etc/plant')
    const files = resolved.map(({ device }) => (device.transport === 'replay' ? device.file : null))
    expect(files).toEqual(['/etc/plant/runs/shift.csv', '/data/shift.csv', null])
    expect(resolved[2]).toBe(plans[2])
  })

  const anyConfig = fc.record({
    merge_gap: fc.integer({ min: 0, max: 120 }),
    merge_max: fc.integer({ min: 2, max: 125 }),
    places: fc.array(
      fc.record({
        address: fc.integer({ min: 0, max: 300 }),
        unit_id: fc.integer({ min: 1, max: 2 }),
        function: fc.constantFrom(3 as const, 4 as const),
        type: fc.constantFrom('int16' as const, 'float32' as const),
      }),
      { minLength: 1, maxLength: 24 },
    ),
  })

  test('every channel is in exactly one request, whole, and no request exceeds merge_max', () => {
    fc.assert(
      fc.property(anyConfig, ({ places, ...device }) => {
        const channels = places.map((register, i) => ({ id: `c${i}`, register }))
        const pairs = channels.flatMap((c, i) => (i % 2 === 1 ? [[`c${i - 1}`, c.id] as const] : []))
        const { requests } = planOf({ device, channels, pairs })
        const seen = requests.flatMap((r) => r.items.map((item) => item.channelId)).sort()
        expect(seen).toEqual(channels.map((c) => c.id).sort())
        for (const r of requests) {
          expect(r.count).toBeLessThanOrEqual(device.merge_max)
          for (const item of r.items) {
            const register = channels.find((c) => c.id === item.channelId)?.register
            expect((r.address ?? 0) + item.offset).toBe(register?.address)
            expect([r.unitId, r.function]).toEqual([register?.unit_id, register?.function])
            expect(item.words).toBe(register?.type === 'float32' ? 2 : 1)
            expect(item.offset + item.words).toBeLessThanOrEqual(r.count)
          }
        }
      }),
    )
  })

  test('the two sides of a zone share a request wherever unit, function and merge_max allow it', () => {
    fc.assert(
      fc.property(anyConfig, ({ places, ...device }) => {
        const channels = places.map((register, i) => ({ id: `c${i}`, register }))
        const [a, b] = [channels[0], channels[1]]
        if (a === undefined || b === undefined) return
        const { requests } = planOf({ device, channels, pairs: [[a.id, b.id]] })
        const end = (c: typeof a) => c.register.address + (c.register.type === 'float32' ? 2 : 1)
        const span = Math.max(end(a), end(b)) - Math.min(a.register.address, b.register.address)
        const sameSpace = a.register.unit_id === b.register.unit_id && a.register.function === b.register.function
        const shared = requests.some((r) => [a.id, b.id].every((id) => r.items.some((item) => item.channelId === id)))
        if (sameSpace && span <= device.merge_max) expect(shared).toBe(true)
        if (!sameSpace) expect(shared).toBe(false)
      }),
    )
  })
})
