import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { z } from 'zod'
import { keepSending, mayPass, waitingList } from '../../app/_ui/waiting-list.ts'
import { statusOf } from '../../gateway/http/refusal.ts'
import { ERROR_CATALOGUE, type ErrorCode } from '../../shared/errors.ts'

const schema = z.object({ key: z.string(), text: z.string(), refused: z.string().nullable() })
const KEY = 'test.waiting'
const one = (key: string, text = key) => ({ key, text, refused: null })
const opened = () => waitingList(KEY, schema, ({ key }) => key)

/** A browser's storage with a size, and its tabs: what one writes, the others hear. */
let storage: Map<string, string>
let room = 1000
let heard: Set<(event: { key: string | null; newValue: string | null }) => void>
const elsewhere = (text: string) => {
  storage.set(KEY, text)
  for (const listener of heard) listener({ key: KEY, newValue: text })
}

beforeEach(() => {
  storage = new Map()
  heard = new Set()
  room = 1000
  vi.stubGlobal('localStorage', {
    getItem: (key: string) => storage.get(key) ?? null,
    setItem: (key: string, text: string) => {
      if (text.length > room) throw new Error('QuotaExceededError')
      storage.set(key, text)
    },
  })
  vi.stubGlobal('addEventListener', (kind: string, listener: never) => kind === 'storage' && heard.add(listener))
  vi.stubGlobal('removeEventListener', (_: string, listener: never) => heard.delete(listener))
})
afterEach(() => {
  vi.unstubAllGlobals()
  vi.useRealTimers()
})

describe('what waits for the gateway', () => {
  it('is there again after a reload, oldest first, and gone once it was dropped', () => {
    const list = opened()
    expect(list.keep(one('a'))).toBe(true)
    list.keep(one('b'))
    list.refuse('b', 'signed meanwhile')
    list.drop('a')
    expect(opened().get()).toEqual([{ ...one('b'), refused: 'signed meanwhile' }])
  })

  it('of another tab is heard, and kept when this one adds to it', () => {
    const list = opened()
    list.subscribe(() => undefined)
    elsewhere(JSON.stringify([one('theirs')]))
    list.keep(one('mine'))
    expect(
      opened()
        .get()
        .map(({ key }) => key),
    ).toEqual(['theirs', 'mine'])
  })

  it('of two tabs does not drop one another, also before one has heard of the other', () => {
    const [first, second] = [opened(), opened()]
    expect([first.get(), second.get()]).toEqual([[], []])
    first.keep(one('a'))
    second.keep(one('b'))
    first.drop('a')
    expect(opened().get()).toEqual([one('b')])
  })

  it('that was refused can be sent once more', () => {
    const list = opened()
    list.keep(one('a'))
    list.refuse('a', 'no')
    list.resend('a')
    expect(opened().get()).toEqual([one('a')])
  })

  it('is said to be kept by the page alone as long as it does not fit', () => {
    const list = opened()
    room = 20
    list.keep(one('a'))
    list.keep(one('b'))
    expect(list.get()).toEqual([one('a'), one('b')])
    expect(list.isStored()).toBe(false)
    list.drop('a')
    list.drop('b')
    expect(list.isStored()).toBe(true)
  })

  it('that does not fit says so, lasts as long as the page, and is not lost by what another tab keeps', () => {
    const list = opened()
    list.subscribe(() => undefined)
    room = 60
    expect(list.keep(one('photo', 'x'.repeat(100)))).toBe(false)
    elsewhere(JSON.stringify([one('theirs')]))
    expect(list.get().map(({ key }) => key)).toEqual(['theirs', 'photo'])
  })

  it('is read past one that is damaged', () => {
    storage.set(KEY, JSON.stringify([{ key: 1 }, one('b')]))
    expect(opened().get()).toEqual([one('b')])
  })

  it.each(['{', '7', 'null', '[{"key":1}]'])('where the storage holds %s there is nothing, and no crash', (text) => {
    storage.set(KEY, text)
    expect(opened().get()).toEqual([])
  })

  it('is sent one after another, what was refused is not, and what failed is sent again', async () => {
    vi.useFakeTimers()
    const list = opened()
    for (const key of ['a', 'b', 'c']) list.keep(one(key))
    list.refuse('b', 'no')
    const sent: string[] = []
    const stop = keepSending(list, 5000, async ({ key }) => {
      sent.push(key)
      if (sent.length > 2) list.drop(key)
    })
    await vi.advanceTimersByTimeAsync(0)
    expect(sent).toEqual(['a', 'c'])
    await vi.advanceTimersByTimeAsync(5000)
    expect(sent).toEqual(['a', 'c', 'a', 'c'])
    stop()
    await vi.advanceTimersByTimeAsync(20_000)
    expect(sent).toHaveLength(4)
    expect(list.get().map(({ key }) => key)).toEqual(['b'])
  })
})

describe('a refusal that passes', () => {
  const codes = Object.keys(ERROR_CATALOGUE) as ErrorCode[]

  it('is every one by which the gateway or its store cannot take it just now, a full disk among them', () => {
    const ofStore = codes.filter((code) => statusOf(code) === 503 && /^EVP_(STORE|RECORDER)_/.test(code))
    expect(ofStore).toContain('EVP_STORE_FULL')
    expect(ofStore.filter((code) => !mayPass(code))).toEqual([])
    expect(mayPass('no-gateway')).toBe(true)
  })

  it('is none that speaks against what was sent', () => {
    const against = codes.filter((code) => [400, 403, 404, 409, 413, 422].includes(statusOf(code)))
    expect(against.length).toBeGreaterThan(5)
    expect(against.filter(mayPass)).toEqual([])
  })
})
