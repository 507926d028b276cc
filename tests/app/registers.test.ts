import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { isPlausible, shortestFloat32, tableFloat32, wholeNumber } from '../../app/set-up/_registers/plausible.ts'
import {
  checkQuery,
  plannedQuery,
  readInstead,
  registersUrl,
  type TypedQuery,
} from '../../app/set-up/_registers/register-query.ts'
import { channelSnippet } from '../../app/set-up/_registers/snippet.ts'
import { isPolled, usesOf } from '../../app/set-up/_registers/usage.ts'
import { connectionSentence, remedyOf } from '../../app/set-up/health-words.ts'
import { SMALLEST_CONFIG } from '../../app/set-up/smallest-config.ts'
import { parseConfig } from '../../gateway/config/load.ts'
import { registerRows } from '../../lib/codec/register-rows.ts'
import { ERROR_CATALOGUE } from '../../shared/errors.ts'
import { REGISTER_ORDERS, REGISTER_TYPES } from '../../shared/schemas/config/channel.ts'
import type { ChannelHealth, DeviceHealth } from '../../shared/schemas/health.ts'

const typed: TypedQuery = { device: 'amp', unit_id: '1', function: '4', address: '0', count: '10' }

describe('isPlausible', () => {
  it('takes a tension read in the right order, and none of the wrong ones', () => {
    // 412.5 is 43CE4000 in IEEE 754 binary32 (8 exponent bits 10000111, fraction 0.611328125).
    const [row] = registerRows([0x43ce, 0x4000], 4, 0)
    expect(row?.float32.ABCD).toBe(412.5)
    expect(isPlausible(row?.float32.ABCD ?? null)).toBe(true)
    for (const order of ['DCBA', 'BADC'] as const) expect(isPlausible(row?.float32[order] ?? null)).toBe(false)
  })

  it('takes zero and both ends, refuses what lies beyond and what is no number', () => {
    for (const value of [0, -0, 0.001, -0.001, 1e6, -1e6]) expect(isPlausible(value)).toBe(true)
    for (const value of [0.000999, 1_000_001, 1e-40, 3e38, null]) expect(isPlausible(value)).toBe(false)
  })
})

describe('shortestFloat32', () => {
  it('reads back as the same float32', () => {
    fc.assert(
      fc.property(fc.float({ noNaN: true, noDefaultInfinity: true }), (value) => {
        expect(Math.fround(Number(shortestFloat32(value).replaceAll('−', '-')))).toBe(value === 0 ? 0 : value)
      }),
    )
  })

  it('writes no digit that is not needed', () => {
    expect(shortestFloat32(Math.fround(0.1))).toBe('0.1')
    expect(shortestFloat32(412.5)).toBe('412.5')
    expect(shortestFloat32(-0.25)).toBe('−0.25')
    expect(tableFloat32(3.4e38)).toBe('3.40e+38')
    expect(shortestFloat32(Math.fround(1e-40))).toMatch(/^\d(\.\d+)?e−40$/)
    expect(wholeNumber(-1234567)).toBe('−1\u202f234\u202f567')
  })
})

describe('checkQuery', () => {
  it('accepts what the gateway accepts and makes its address', () => {
    const checked = checkQuery({ ...typed, function: '3', address: ' 100 ' })
    expect(checked).toEqual({ ok: true, query: { device: 'amp', unit_id: 1, function: 3, address: 100, count: 10 } })
    if (checked.ok)
      expect(registersUrl(checked.query)).toBe('/api/registers?device=amp&unit_id=1&function=3&address=100&count=10')
  })

  it('says at each field what would fit, and at no other', () => {
    const wrong = [
      [{ address: '' }, 'address'],
      [{ address: '0x10' }, 'address'],
      [{ address: '65536' }, 'address'],
      [{ address: '-1' }, 'address'],
      [{ unit_id: '256' }, 'unit_id'],
      [{ count: '0' }, 'count'],
      [{ count: '61' }, 'count'],
      [{ count: '2.5' }, 'count'],
      [{ device: '' }, 'device'],
      [{ address: '65530', count: '10' }, 'count'],
    ] as const
    for (const [part, field] of wrong) {
      const checked = checkQuery({ ...typed, ...part })
      expect(checked.ok ? [] : Object.keys(checked.errors)).toEqual([field])
    }
  })
})

describe('what is read first', () => {
  const request = (unitId: number, address: number, count: number) => ({
    unitId,
    function: 3,
    address,
    count,
    channels: [],
  })
  const device = (...plan: DeviceHealth['plan']) => ({ id: 'amp', plan }) as unknown as DeviceHealth

  it('is the longest range the gateway reads anyway: a device with a short map has it', () => {
    const planned = plannedQuery(device(request(7, 40, 2), request(7, 90, 4)))
    expect(planned).toEqual({ device: 'amp', unit_id: '7', function: '3', address: '90', count: '4' })
    expect(checkQuery(planned).ok).toBe(true)
    expect(plannedQuery(device(request(1, 0, 100))).count).toBe('60')
  })

  it('is a plain range of ten where nothing is planned', () => {
    expect(plannedQuery(device())).toEqual({ device: 'amp', unit_id: '1', function: '4', address: '0', count: '10' })
  })

  it('is offered again after exception 02, unless it was what was refused', () => {
    const short = device(request(1, 0, 2))
    const planned = plannedQuery(short)
    expect(readInstead({ exceptionCode: 2 }, { ...planned, count: '10' }, short)).toEqual(planned)
    expect(readInstead({ exceptionCode: 2 }, planned, short)).toBeNull()
    expect(readInstead({ exceptionCode: 1 }, { ...planned, count: '10' }, short)).toBeNull()
    expect(readInstead({}, { ...planned, count: '10' }, short)).toBeNull()
    expect(readInstead({ exceptionCode: 2 }, typed, device())).toBeNull()
  })
})

describe('usesOf', () => {
  const channel = (name: string, register: ChannelHealth['register'], device = 'amp') =>
    ({ name, device, register }) as ChannelHealth
  const at = (address: number, words: number, unitId = 1) => ({
    unitId,
    function: 4,
    address,
    words,
    type: 'float32' as const,
    order: 'CDAB' as const,
  })
  const place = { device: 'amp', unitId: 1, function: 4 }

  it('marks every register a channel takes, in its own device, unit and function only', () => {
    const channels = [
      channel('DS', at(10, 2)),
      channel('twin', at(10, 2)),
      channel('other unit', at(10, 2, 7)),
      channel('other device', at(10, 2), 'spare'),
      channel('not told', undefined),
      channel('no register', null),
    ]
    const uses = usesOf(channels, place)
    expect([...uses.keys()]).toEqual([10, 11])
    expect(uses.get(10)?.map((u) => [u.channel, u.word])).toEqual([
      ['DS', 0],
      ['twin', 0],
    ])
    expect(uses.get(11)?.map((u) => u.word)).toEqual([1, 1])
    expect(usesOf(channels, { ...place, function: 3 }).size).toBe(0)
  })

  it('knows what the plan of requests reads, also what lies between two channels', () => {
    const device = {
      plan: [{ unitId: 1, function: 4, address: 10, count: 6, channels: [] }],
    } as unknown as DeviceHealth
    expect([9, 10, 15, 16].map((a) => isPolled(device, place, a))).toEqual([false, true, true, false])
    expect(isPolled(device, { ...place, unitId: 2 }, 10)).toBe(false)
  })
})

describe('what the page offers to paste', () => {
  it('the smallest config is one the gateway takes', () => {
    expect(parseConfig(SMALLEST_CONFIG, 'smallest.yaml').config.zones).toHaveLength(1)
  })

  it('a found register of every type and order fits under its channels', () => {
    for (const type of REGISTER_TYPES) {
      for (const order of REGISTER_ORDERS) {
        const found = { device: 'amplifier', unitId: 3, function: 3, address: 40, type, order } as const
        const text = SMALLEST_CONFIG.replace('zones:\n', `${channelSnippet(found)}zones:\n`)
        const { config } = parseConfig(text, 'snippet.yaml')
        expect(config.channels.find((c) => c.id === 'cell-3-40')).toMatchObject({
          device: 'amplifier',
          register: { unit_id: 3, function: 3, address: 40, type, order },
        })
      }
    }
  })
})

describe('health in words', () => {
  const health = (states: DeviceHealth['state'][], codes: ChannelHealth['code'][]) =>
    ({ devices: states.map((state) => ({ state })), channels: codes.map((code) => ({ code })) }) as never

  it('answers whether it is connected, counting what is not', () => {
    expect(connectionSentence(health(['answering'], ['good', 'good']))).toBe(
      'The device answers; 2 of 2 channels read good.',
    )
    expect(connectionSentence(health(['answering', 'lost'], ['good', 'no-answer']))).toBe(
      '1 of 2 devices answer; 1 of 2 channels read good.',
    )
    expect(connectionSentence(health(['partly'], ['good', 'saturated']))).toMatch(/does not answer fully; 1 of 2/)
  })

  it('knows what to do about every error of the catalogue, and invents nothing for another', () => {
    for (const [code, remedy] of Object.entries(ERROR_CATALOGUE)) expect(remedyOf(code)).toBe(remedy)
    expect(remedyOf('EVP_OF_TOMORROW')).toBeNull()
    expect(remedyOf('toString')).toBeNull()
  })
})
