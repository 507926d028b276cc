import { describe, expect, it } from 'vitest'
import type { BrokerLink, Outgoing, Taken } from '../../gateway/forward/broker-link.ts'
import { ForwardQueue } from '../../gateway/forward/queue.ts'
import { CATCH_UP_PER_S, Sender } from '../../gateway/forward/sender.ts'
import type { MqttSettings } from '../../gateway/forward/settings.ts'
import { StateBoard } from '../../gateway/forward/state-board.ts'
import type { EvenpullError } from '../../shared/errors.ts'
import { MemoryStore } from './support/memory-store.ts'

const settings = { host: 'broker', port: 1883, topic: 'root' } as MqttSettings
const bodyOf = (n: number) => JSON.stringify({ n })

/** A broker that answers when it is told to. */
class Link implements BrokerLink {
  readonly sent: (Outgoing & { answer: (taken: Taken) => void })[] = []
  readonly closed = new Promise<null>(() => {})
  window = 10
  maxBytes = 100_000
  publish(message: Outgoing): Promise<Taken> {
    return new Promise((answer) => this.sent.push({ ...message, answer }))
  }
  async close(): Promise<void> {}
  async answer(taken: Taken = { isTaken: true }, n = this.sent.length): Promise<void> {
    for (const { answer } of this.sent.splice(0, n)) answer(taken)
    await new Promise(setImmediate)
  }
}

async function made(rows: number) {
  const store = new MemoryStore()
  const link = new Link()
  const board = new StateBoard()
  const live: { timeMs: number; topic: string; body: string }[] = []
  const counts = { delivered: 0, dropped: 0, refused: 0 }
  const refusals: EvenpullError[] = []
  const clock = { ms: 0 }
  let sender: Sender | null = null
  const queue = await ForwardQueue.open({
    store,
    name: 'mqtt',
    newId: () => 'q',
    keepMs: 1e9,
    keepBytes: 1e9,
    readable: () => sender?.pump(),
  })
  await queue.append(Array.from({ length: rows }, (_, i) => ({ timeMs: i, topic: 'zones/a/values', body: bodyOf(i) })))
  sender = new Sender({
    settings,
    link,
    board,
    live,
    queue: () => queue,
    counts,
    nowMs: () => clock.ms,
    monotonicMs: () => clock.ms,
    refused: (error) => refusals.push(error),
  })
  return { store, link, board, live, counts, refusals, clock, queue, sender }
}

describe('Sender', () => {
  it('has never more under way than the broker allows, and goes on as it acknowledges', async () => {
    const { link, sender, counts } = await made(25)
    sender.pump()
    expect(link.sent).toHaveLength(10)
    await link.answer({ isTaken: true }, 3)
    expect(link.sent).toHaveLength(10)
    await link.answer()
    await link.answer()
    await link.answer()
    expect(counts).toEqual({ delivered: 25, dropped: 0, refused: 0 })
  })

  it('sends what is before what was: a state does not wait behind a long queue', async () => {
    const { link, board, sender } = await made(1000)
    sender.pump()
    board.set('status', { body: bodyOf(0), queue: null, seq: null, validUntilMs: 5000 })
    await link.answer({ isTaken: true }, 1)
    expect(link.sent.at(-1)).toMatchObject({ topic: 'root/status', retain: true, expirySeconds: 5 })
    sender.stop()
  })

  it(`takes at most ${CATCH_UP_PER_S} a second out of the queue`, async () => {
    const { link, sender, counts, clock } = await made(3 * CATCH_UP_PER_S)
    link.window = 1e6
    sender.pump()
    while (link.sent.length > 0) await link.answer()
    expect(counts.delivered).toBe(CATCH_UP_PER_S)
    clock.ms = 500
    sender.pump()
    while (link.sent.length > 0) await link.answer()
    expect(counts.delivered).toBe(1.5 * CATCH_UP_PER_S)
    sender.stop()
  })

  it('puts number and queue into payload and properties, and leaves a row in the store until it was taken', async () => {
    const { link, sender, store, queue } = await made(2)
    sender.pump()
    expect(link.sent.map(({ payload }) => JSON.parse(payload))).toEqual([
      { version: 1, queue: 'q', seq: 1, n: 0 },
      { version: 1, queue: 'q', seq: 2, n: 1 },
    ])
    expect(link.sent[1]?.userProperties).toEqual({ version: '1', queue: 'q', seq: '2' })
    await queue.tidy(0)
    expect(store.rows).toHaveLength(2)
    await link.answer()
    await queue.tidy(0)
    expect(store.rows).toHaveLength(0)
  })

  it('keeps what this user may not send, and says so; gives up what no broker would ever take', async () => {
    const denied = await made(1)
    denied.sender.pump()
    await denied.link.answer({ isTaken: false, reason: 135, why: 'not authorized' })
    expect(denied.refusals.map(({ code }) => code)).toEqual(['EVP_FORWARD_REFUSED'])
    expect(denied.queue.extent.queued).toBe(1)

    const tooLarge = await made(1)
    tooLarge.link.maxBytes = 100
    tooLarge.sender.pump()
    expect(tooLarge.link.sent).toHaveLength(0)
    expect(tooLarge.counts).toEqual({ delivered: 0, dropped: 0, refused: 1 })
    expect(tooLarge.queue.extent.queued).toBe(0)
  })

  it('sends no state whose time is over', async () => {
    const { link, board, sender, clock } = await made(0)
    board.set('zones/a/now', { body: bodyOf(1), queue: null, seq: null, validUntilMs: 1000 })
    clock.ms = 1000
    sender.pump()
    expect(link.sent).toEqual([])
  })
})

describe('StateBoard', () => {
  const state = (n: number) => ({ body: bodyOf(n), queue: null, seq: null, validUntilMs: null })

  it('hands out the newest state of a topic, and not before the one under way has settled', () => {
    const board = new StateBoard()
    board.set('a', state(1))
    board.set('a', state(2))
    expect(board.take(0)?.state).toEqual(state(2))
    board.set('a', state(3))
    board.set('b', state(4))
    expect(board.take(0)).toEqual({ topic: 'b', state: state(4) })
    expect(board.take(0)).toBeUndefined()
    board.settled('a')
    expect(board.take(0)).toEqual({ topic: 'a', state: state(3) })
  })
})
