import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { exampleShift } from '../../gateway/http/shift-example.ts'
import { MinuteMemory } from '../../gateway/shift/minute-memory.ts'
import { shiftOf } from '../../gateway/shift/shifts.ts'
import { configSchema } from '../../shared/schemas/config.ts'
import { type ShiftAnalysis, type ShiftQuery, shiftAnalysis } from '../../shared/schemas/shift.ts'
import type { ZoneMinute } from '../../shared/schemas/zone-minute.ts'
import { MINUTE_MS, minuteAt, START_MS } from '../drift/made-minutes.ts'
import { configWith } from '../geometry/configured.ts'
import { ask, type Served, serve } from './support/served.ts'

describe('GET /api/zones/ID/shift', () => {
  let served: Served
  const asked: ShiftQuery[] = []
  beforeAll(async () => {
    served = await serve({
      sources: {
        async shift(id, query) {
          asked.push(query)
          return id === exampleShift.zone ? exampleShift : undefined
        },
      },
    })
  })
  afterAll(() => served.close())
  const shift = (query: string, zone = exampleShift.zone) => {
    // A second later each time, so that the rate limit lets it through.
    served.nowMs += 1000
    return ask(served.port, `/api/zones/${zone}/shift?${query}`)
  }

  test('takes epoch ms and ISO 8601 with an offset, and an earlier stretch to compare with', async () => {
    const from = '2026-01-01T06:00:00%2B01:00'
    const reply = await shift(`from=${from}&to=1767258000000&baseline_from=2025-12-31T05:00Z&baseline_to=1767187500000`)
    expect(reply.status).toBe(200)
    expect(JSON.parse(reply.text)).toEqual(exampleShift)
    expect(asked.at(-1)).toEqual({
      from: 1_767_243_600_000,
      to: 1_767_258_000_000,
      baseline_from: 1_767_157_200_000,
      baseline_to: 1_767_187_500_000,
    })
  })

  test.each([
    '',
    'from=1',
    'from=1&to=1',
    'from=2&to=1',
    'from=yesterday&to=2',
    'from=2026-01-01T06:00:00&to=2026-01-01T07:00:00Z', // whose clock?
    'from=-1&to=2',
    'from=1e3&to=2e3',
    'from=0&to=604800001',
    'from=1&to=2&baseline_from=1',
    'from=1&to=2&baseline_from=2&baseline_to=1',
    'from=1&to=2&more=3',
  ])('refuses ?%s and asks nothing', async (query) => {
    const before = asked.length
    const { status, text } = await shift(query)
    expect([status, JSON.parse(text).code]).toEqual([400, 'EVP_REQUEST_INVALID'])
    expect(asked.length).toBe(before)
  })

  test('404 for a zone that is not there', async () => {
    const { status, text } = await shift('from=1&to=2', 'nowhere')
    expect([status, JSON.parse(text).code]).toEqual([404, 'EVP_NOT_FOUND'])
  })
})

describe('where the minutes come from', () => {
  const config = configSchema.parse(configWith({}))
  const zone = config.zones[0]?.id ?? ''
  const rows = (from: number, to: number): ZoneMinute[] =>
    Array.from({ length: to - from }, (_, i) => minuteAt(from + i))
  function memoryOf(minutes: readonly ZoneMinute[]): MinuteMemory {
    const memory = new MinuteMemory(() => 'now')
    for (const { revision: _, ...minute } of minutes) memory.minute(zone, minute)
    return memory
  }
  const query = { from: START_MS, to: START_MS + 600 * MINUTE_MS }
  const NOW_MS = query.to
  const kept = (minutes: readonly ZoneMinute[]) => ({ minutes: async () => [...minutes] })
  const told = (shift: ShiftAnalysis | undefined) => [shift?.source, shift?.minutes.kept, shift?.sourceSentence]

  test('the memory alone while nothing is recorded, and the answer says so', async () => {
    const shift = await shiftOf({ recorder: undefined, memory: memoryOf(rows(0, 60)) }, config, zone, query, NOW_MS)
    expect(shiftAnalysis.parse(shift)).toEqual(shift)
    expect(told(shift)).toEqual(['memory', 60, expect.stringMatching(/^From the memory of the gateway/)])
  })
  test('the recorder, with the newest from memory after it and none twice', async () => {
    const memory = memoryOf(rows(40, 101))
    const shift = await shiftOf({ recorder: kept(rows(0, 100)), memory }, config, zone, query, NOW_MS)
    expect(told(shift)).toEqual(['recorder', 101, 'From the recorder.'])
  })
  test('says so when it lacks more than it usually lags behind', async () => {
    const memory = memoryOf(rows(40, 130))
    const shift = await shiftOf({ recorder: kept(rows(0, 100)), memory }, config, zone, query, NOW_MS)
    expect(told(shift)).toEqual(['recorder', 130, expect.stringMatching(/the newest 30 minutes are in the memory/)])
  })
  test('the memory holds 24 h, in order, and nothing twice', async () => {
    const memory = memoryOf([...rows(0, 1500), ...rows(1400, 1500)])
    const all = await memory.minutes(zone, 0, Number.MAX_SAFE_INTEGER)
    expect(all).toHaveLength(1440)
    expect(all.map(({ tMs }) => tMs)).toEqual(rows(60, 1500).map(({ tMs }) => tMs))
    expect(all[0]?.revision).toBe('now')
  })
  test('minutes that have not come yet are neither missing nor asked for', async () => {
    const sources = { recorder: kept(rows(0, 100)), memory: memoryOf([]) }
    const shift = await shiftOf(sources, config, zone, query, START_MS + 100.5 * MINUTE_MS)
    expect(shift?.toMs).toBe(query.to)
    expect(shift?.minutes).toMatchObject({ asked: 100, kept: 100 })
    expect(shift?.periods).toEqual([
      { state: 'steady', fromMs: START_MS, toMs: START_MS + 100 * MINUTE_MS, minutes: 100 },
    ])
  })
  test('no such zone is undefined', async () => {
    expect(
      await shiftOf({ recorder: undefined, memory: memoryOf([]) }, config, 'nowhere', query, NOW_MS),
    ).toBeUndefined()
  })
})
