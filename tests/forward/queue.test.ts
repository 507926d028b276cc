import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { ForwardQueue } from '../../gateway/forward/queue.ts'
import { QueueKeeper } from '../../gateway/forward/queue-keeper.ts'
import type { OutboxRow } from '../../gateway/forward/queue-store.ts'
import { MemoryStore, madeEvent } from './support/memory-store.ts'

const DAY_MS = 86_400_000
const row = (timeMs: number, body = '{"n":1}'): OutboxRow => ({ timeMs, topic: 'zones/a/values', body })
const eventRow = (id: number): OutboxRow => ({
  timeMs: id,
  topic: 'events/note',
  body: JSON.stringify({ event: madeEvent(id) }),
})

const open = (store: MemoryStore, more: { keepMs?: number; keepBytes?: number; newId?: () => string } = {}) =>
  ForwardQueue.open({
    store,
    name: 'mqtt',
    newId: () => 'first',
    keepMs: 7 * DAY_MS,
    keepBytes: 1e6,
    readable: () => {},
    ...more,
  })

/** Takes the next row, once what has to be read for it has been read. */
async function take(queue: ForwardQueue): Promise<number | undefined> {
  for (let turn = 0; turn < 5 && queue.next() === undefined; turn++) await Promise.resolve()
  await new Promise(setImmediate)
  const seq = queue.next()?.seq
  if (seq !== undefined) queue.sent()
  return seq
}

describe('ForwardQueue', () => {
  it('hands out what was appended in the order of its numbers, and forgets it only when it was taken', async () => {
    const store = new MemoryStore()
    const queue = await open(store)
    expect(await queue.append([row(1), row(2)])).toBe(1)
    expect(await queue.append([row(3)])).toBe(3)
    expect([await take(queue), await take(queue), await take(queue), await take(queue)]).toEqual([1, 2, 3, undefined])
    queue.acked(2)
    await queue.tidy(3)
    expect(store.rows.map(({ seq }) => seq)).toEqual([1, 2, 3]) // 1 is not taken yet, so that 2 stays behind it
    queue.acked(1)
    await queue.tidy(3)
    expect(store.rows.map(({ seq }) => seq)).toEqual([3])
    expect(queue.extent).toMatchObject({ queued: 1, oldestMs: 3 })
  })

  it('sends again from the first that was not taken when the connection broke', async () => {
    const store = new MemoryStore()
    const queue = await open(store)
    await queue.append([row(1), row(2), row(3)])
    for (let i = 0; i < 3; i++) await take(queue)
    queue.acked(1)
    queue.acked(3)
    queue.rewind()
    expect([await take(queue), await take(queue), await take(queue)]).toEqual([2, 3, undefined])
  })

  it('goes on with its numbers and its name after a restart, and never gives a number twice', async () => {
    const store = new MemoryStore()
    const first = await open(store)
    await first.append([row(1), row(2)])
    await take(first)
    first.acked(1)
    await first.tidy(2)
    const second = await open(store, { newId: () => 'another' })
    expect(second.id).toBe('first')
    expect(second.extent.queued).toBe(1)
    expect(await second.append([row(3)])).toBe(3)
    expect([await take(second), await take(second)]).toEqual([2, 3])
  })

  it('drops the oldest beyond its size, counts them, and does not send them any more', async () => {
    const store = new MemoryStore()
    const bytes = row(1).topic.length + row(1).body.length + 24
    const queue = await open(store, { keepBytes: 3 * bytes })
    await queue.append([1, 2, 3, 4, 5].map((t) => row(t)))
    expect(await queue.tidy(5)).toBe(2)
    expect(store.rows.map(({ seq }) => seq)).toEqual([3, 4, 5])
    expect(queue.extent).toEqual({ queued: 3, queuedBytes: 3 * bytes, oldestMs: 3 })
    expect(await take(queue)).toBe(3)
  })

  it('drops what is too old, and nothing that is not', async () => {
    const store = new MemoryStore()
    const queue = await open(store, { keepMs: 10 })
    await queue.append([row(1), row(5), row(20)])
    expect(await queue.tidy(15.5)).toBe(2)
    expect(queue.extent).toMatchObject({ queued: 1, oldestMs: 20 })
    expect(await queue.tidy(15.5)).toBe(0)
  })

  it('counts what somebody else deleted from the store: numbers have no gaps', async () => {
    const store = new MemoryStore()
    const queue = await open(store)
    await queue.append(Array.from({ length: 300 }, (_, i) => row(i)))
    queue.rewind()
    store.rows = store.rows.filter(({ seq }) => seq <= 10 || seq > 25)
    const seen: number[] = []
    for (let seq = await take(queue); seq !== undefined; seq = await take(queue)) {
      seen.push(seq)
      queue.acked(seq)
    }
    expect(seen).toHaveLength(285)
    expect(await queue.tidy(1)).toBe(15)
    expect(queue.extent).toEqual({ queued: 0, queuedBytes: 0, oldestMs: null })
  })

  it('knows the events that the trail has and it has not, through any end of the process', async () => {
    const store = new MemoryStore()
    store.trail = [1, 2].map((id) => madeEvent(id))
    const first = await open(store) // what was before it began is not sent
    expect(await first.missedEvents(0)).toEqual([])
    store.trail.push(madeEvent(3), madeEvent(4))
    await first.append([eventRow(3)])
    expect((await (await open(store)).missedEvents(0)).map(({ id }) => id)).toEqual([4])
    await first.append([eventRow(4)])
    for (const seq of [await take(first), await take(first)]) first.acked(seq ?? 0)
    await first.tidy(4)
    expect(store.rows).toEqual([])
    store.trail.push(madeEvent(5), madeEvent(6))
    const second = await open(store)
    expect((await second.missedEvents(0)).map(({ id }) => id)).toEqual([5, 6])
    expect((await second.missedEvents(5.5)).map(({ id }) => id)).toEqual([6])
  })

  it('loses nothing and keeps the order, whatever is appended, taken, broken and restarted when', async () => {
    const step = fc.oneof(
      fc.record({ kind: fc.constant('append' as const), n: fc.integer({ min: 1, max: 300 }) }),
      fc.record({ kind: fc.constant('send' as const), n: fc.integer({ min: 1, max: 250 }) }),
      fc.record({ kind: fc.constantFrom('ack' as const, 'tidy' as const, 'break' as const, 'kill' as const) }),
    )
    await fc.assert(
      fc.asyncProperty(fc.array(step, { maxLength: 25 }), async (steps) => {
        const store = new MemoryStore()
        let queue = await open(store)
        let open_: number[] = []
        const taken: number[] = []
        for (const one of steps) {
          if (one.kind === 'append') await queue.append(Array.from({ length: one.n }, () => row(1)))
          if (one.kind === 'send')
            for (let i = 0; i < one.n; i++) {
              const seq = await take(queue)
              if (seq !== undefined) open_.push(seq)
            }
          if (one.kind === 'ack') {
            for (const seq of open_) queue.acked(seq)
            taken.push(...open_.splice(0))
          }
          if (one.kind === 'tidy') await queue.tidy(1)
          if (one.kind === 'break') queue.rewind()
          if (one.kind === 'kill') queue = await open(store)
          if (one.kind === 'break' || one.kind === 'kill') open_ = []
        }
        queue.rewind()
        for (let seq = await take(queue); seq !== undefined; seq = await take(queue)) {
          taken.push(seq)
          queue.acked(seq)
        }
        expect([...new Set(taken)].sort((a, b) => a - b)).toEqual(
          Array.from({ length: store.lastSeq }, (_, i) => i + 1),
        )
        expect(queue.extent.queued).toBe(0)
      }),
      { numRuns: 40 },
    )
  })
})

describe('QueueKeeper', () => {
  const keeperOf = (store: () => ReturnType<ConstructorParameters<typeof QueueKeeper>[0]['store']>) => {
    const dropped: number[] = []
    const keeper = new QueueKeeper({
      name: 'mqtt',
      store,
      keepMs: DAY_MS,
      keepBytes: 1e6,
      eventRow: (event) => (event.kind === 'access' ? undefined : eventRow(event.id)),
      readable: () => {},
      dropped: (count) => dropped.push(count),
    })
    return { keeper, dropped }
  }

  it('says why nothing is kept while there is no store, and begins when there is one', async () => {
    const store = new MemoryStore()
    let isThere = false
    const { keeper } = keeperOf(() =>
      isThere ? { place: '/a', store } : { place: null, why: 'Recording is off in the config.' },
    )
    keeper.look(1)
    expect(await keeper.keep([row(1)])).toEqual({ isKept: false })
    expect(keeper.why).toBe('Recording is off in the config.')
    isThere = true
    keeper.look(2)
    expect(await keeper.keep([row(2)])).toMatchObject({ isKept: true, first: 1 })
    expect(keeper.why).toBeNull()
  })

  it('says so when the disk does not take a message, and when it does again', async () => {
    const store = new MemoryStore()
    const { keeper } = keeperOf(() => ({ place: '/a', store }))
    keeper.look(1)
    await keeper.keep([row(1)])
    store.full = new Error('the disk is full')
    expect(await keeper.keep([row(2)])).toEqual({ isKept: false })
    expect(keeper.why).toBe('the disk is full')
    store.full = null
    expect(await keeper.keep([row(3)])).toMatchObject({ isKept: true, first: 2 })
    expect(keeper.why).toBeNull()
  })

  it('begins another queue with another store, whose numbers are told apart by its name', async () => {
    const [a, b] = [new MemoryStore(), new MemoryStore()]
    let place = '/a'
    const { keeper } = keeperOf(() => ({ place, store: place === '/a' ? a : b }))
    keeper.look(1)
    const first = await keeper.keep([row(1)])
    place = '/b'
    keeper.look(2)
    const second = await keeper.keep([row(2)])
    if (!first.isKept || !second.isKept) throw new Error('not kept')
    expect([first.first, second.first]).toEqual([1, 1])
    expect(first.queue).not.toBe(second.queue)
  })

  it('takes up missed events before any other row, once, and leaves log-ins out', async () => {
    const store = new MemoryStore()
    const before = await open(store)
    await before.append([eventRow(0)])
    store.trail = [madeEvent(1), madeEvent(2, { kind: 'access' }), madeEvent(3)]
    const { keeper } = keeperOf(() => ({ place: '/a', store }))
    keeper.look(10)
    await keeper.keep([row(10)])
    expect(store.rows.map(({ topic }) => topic)).toEqual([
      'events/note',
      'events/note',
      'events/note',
      'zones/a/values',
    ])
    expect(await keeper.hasTakenUp(madeEvent(3))).toBe(true)
    expect(await keeper.hasTakenUp(madeEvent(4))).toBe(false)
  })
})
