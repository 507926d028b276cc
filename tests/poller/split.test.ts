import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type RequestPart, splitRequest } from '../../gateway/poller/split.ts'
import type { PlannedRequest } from '../../gateway/poller/types.ts'
import { request } from './build.ts'

const idsOf = (parts: readonly RequestPart[] | null) => parts?.map((p) => p.request.items.map((i) => i.channelId))

describe('splitRequest', () => {
  const merged = request(100, [
    ['a', 0, 1],
    ['b', 1, 1],
    ['c', 2, 2],
    ['d', 8, 1],
  ])

  test('first leaves out the registers that nobody asked for', () => {
    const parts = splitRequest(merged, [])
    expect(parts?.map((p) => [p.at, p.request.address, p.request.count])).toEqual([
      [0, 100, 4],
      [8, 108, 1],
    ])
    expect(idsOf(parts)).toEqual([['a', 'b', 'c'], ['d']])
  })

  test('then takes a run without gaps apart into pairs and single values', () => {
    const run = request(100, [
      ['a', 0, 1],
      ['b', 1, 1],
      ['c', 2, 2],
    ])
    expect(idsOf(splitRequest(run, [['a', 'b']]))).toEqual([['a', 'b'], ['c']])
  })

  test('keeps a pair in one request across a gap, and parts it only when it was refused by itself', () => {
    const parts = splitRequest(merged, [['b', 'd']])
    expect(idsOf(parts)).toEqual([['a'], ['b', 'd'], ['c']])
    const pair = parts?.[1]?.request
    expect([pair?.address, pair?.count]).toEqual([101, 8])
    expect(idsOf(splitRequest(pair as PlannedRequest, [['b', 'd']]))).toEqual([['b'], ['d']])
  })

  test('a single value, and anything but Modbus, cannot be split', () => {
    expect(splitRequest(request(5, [['a', 0, 2]]), [])).toBeNull()
    expect(splitRequest({ ...merged, unitId: null, function: null, address: null }, [])).toBeNull()
  })

  const anyRequest = fc
    .uniqueArray(fc.integer({ min: 0, max: 60 }), { minLength: 1, maxLength: 16 })
    .chain((starts) =>
      fc.tuple(
        fc.constant(starts.sort((a, b) => a - b)),
        fc.array(fc.constantFrom(1 as const, 2 as const), { minLength: starts.length, maxLength: starts.length }),
        fc.array(fc.tuple(fc.nat(starts.length - 1), fc.nat(starts.length - 1)), { maxLength: 5 }),
      ),
    )
    .map(([starts, words, indices]) => {
      const base = starts[0] ?? 0
      return {
        whole: request(
          1000 + base,
          starts.map((start, i) => [`c${i}`, start - base, words[i] ?? 1] as const),
        ),
        pairs: indices.filter(([a, b]) => a !== b).map(([a, b]) => [`c${a}`, `c${b}`] as const),
      }
    })

  test('every channel is read exactly once, at its own register, by no more than the request had', () => {
    fc.assert(
      fc.property(anyRequest, ({ whole, pairs }) => {
        const parts = splitRequest(whole, pairs)
        if (parts === null) {
          expect(whole.items).toHaveLength(1)
          return
        }
        const back = parts.flatMap((part) => {
          expect(part.request.count).toBeLessThanOrEqual(whole.count)
          expect(part.request.items.length).toBeLessThan(whole.items.length)
          expect(part.request.address).toBe((whole.address ?? 0) + part.at)
          return part.request.items.map((item) => ({ ...item, offset: item.offset + part.at }))
        })
        const byId = (a: { channelId: string }, b: { channelId: string }) => a.channelId.localeCompare(b.channelId)
        expect(back.sort(byId)).toEqual([...whole.items].sort(byId))
      }),
    )
  })

  test('a pair stays together until it was refused with no other channel in the request', () => {
    fc.assert(
      fc.property(anyRequest, ({ whole, pairs: [pair] }) => {
        if (pair === undefined) return
        const parts = splitRequest(whole, [pair])
        const home = parts?.find((part) => part.request.items.some((item) => item.channelId === pair[0]))
        const together = home?.request.items.some((item) => item.channelId === pair[1])
        expect(together).toBe(whole.items.length > 2)
      }),
    )
  })

  test('splitting again and again ends with one request a channel', () => {
    fc.assert(
      fc.property(anyRequest, ({ whole, pairs }) => {
        let open: PlannedRequest[] = [whole]
        let rounds = 0
        while (open.some((r) => r.items.length > 1)) {
          open = open.flatMap((r) => splitRequest(r, pairs)?.map((part) => part.request) ?? [r])
          expect(++rounds).toBeLessThanOrEqual(4)
        }
        expect(open).toHaveLength(whole.items.length)
      }),
    )
  })
})
