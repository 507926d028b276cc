import { beforeEach, describe, expect, it } from 'vitest'
import {
  Connection,
  type ConnectionEvents,
  type Link,
  retryDelayMs,
  SILENT_AFTER_MS,
  type SocketLike,
  type Surroundings,
} from '../../app/_stream/connection.ts'
import { encodeSampleBatch, KIND_SAMPLES } from '../../shared/protocol/sample-batch.ts'

class FalseSocket implements SocketLike {
  binaryType = ''
  onopen: (() => void) | null = null
  onmessage: ((event: { data: unknown }) => void) | null = null
  onclose: (() => void) | null = null
  isClosed = false
  readonly sent: { type: string; [key: string]: unknown }[] = []

  send(text: string): void {
    this.sent.push(JSON.parse(text))
  }
  close(): void {
    this.isClosed = true
  }
  say(message: unknown): void {
    this.onmessage?.({ data: typeof message === 'string' ? message : JSON.stringify(message) })
  }
  batch(seq: number, options: { backlog?: boolean; firstSeq?: number } = {}): void {
    const data = encodeSampleBatch({
      kind: KIND_SAMPLES,
      backlog: options.backlog ?? false,
      zone: 0,
      seq,
      firstSeq: options.firstSeq ?? seq,
      samples: 1,
      timesMs: Float64Array.of(seq),
      values: [Float32Array.of(seq)],
      qualities: [Uint8Array.of(0)],
    })
    this.onmessage?.({ data })
  }
}

/** Sockets that never open by themselves and a clock that only moves when told. */
class FalseSurroundings implements Surroundings {
  readonly sockets: FalseSocket[] = []
  #now = 0
  #timers: { at: number; call: () => void }[] = []

  now = () => this.#now
  after = (ms: number, call: () => void) => {
    const timer = { at: this.#now + ms, call }
    this.#timers.push(timer)
    return () => {
      this.#timers = this.#timers.filter((each) => each !== timer)
    }
  }
  openSocket = () => {
    const socket = new FalseSocket()
    this.sockets.push(socket)
    return socket
  }
  get socket(): FalseSocket {
    const newest = this.sockets.at(-1)
    if (newest === undefined) throw new Error('no socket was opened')
    return newest
  }
  pass(ms: number): void {
    const end = this.#now + ms
    for (;;) {
      const due = this.#timers.filter((t) => t.at <= end).sort((a, b) => a.at - b.at)[0]
      if (due === undefined) break
      this.#timers = this.#timers.filter((t) => t !== due)
      this.#now = Math.max(this.#now, due.at)
      due.call()
    }
    this.#now = end
  }
}

const zone = {
  id: 'unwind',
  name: 'Unwind',
  columns: ['drive_side'],
  totalMeans: 'force',
  cellDistanceM: null,
  webWidthM: null,
  webOffsetM: 0,
  capacityN: { drive_side: 500 },
  rateHz: 100,
  averageSeconds: 30,
}
const hello = (part: Record<string, unknown> = {}) => ({
  type: 'hello',
  version: '1',
  bootId: 'first',
  timeMs: 0,
  revision: 'a',
  zones: { plant: null, line: null, zones: [zone] },
  ...part,
})
const now = { type: 'now', timeMs: 0, zones: [] }

let surroundings: FalseSurroundings
let links: Link[]
let continued: boolean[]
let batches: number[]
let connection: Connection

beforeEach(() => {
  surroundings = new FalseSurroundings()
  links = []
  continued = []
  batches = []
  const events: ConnectionEvents = {
    link: (link) => links.push(link),
    hello: (_message, isContinued) => continued.push(isContinued),
    now: () => {},
    health: () => {},
    alarms: () => {},
    expected: () => {},
    batch: (_zone, batch) => batches.push(batch.seq),
  }
  connection = new Connection(surroundings, events)
  connection.want(['unwind'])
  connection.start()
})

const subscriptions = (socket: FalseSocket) => socket.sent.filter((m) => m.type === 'subscribe')
const missed = (socket: FalseSocket) => socket.sent.filter((m) => m.type === 'missed')

describe('Connection', () => {
  it('sends nothing before the hello, then asks for the whole backlog of the wanted zones', () => {
    expect(surroundings.socket.sent).toEqual([])
    surroundings.socket.say(hello())
    expect(surroundings.socket.sent).toEqual([{ type: 'subscribe', zones: [{ zone: 'unwind' }] }])
    expect(connection.link.phase).toBe('live')
  })

  it('does not subscribe to a zone that the gateway does not have', () => {
    connection.want(['gone'])
    surroundings.socket.say(hello())
    expect(surroundings.socket.sent).toEqual([{ type: 'subscribe', zones: [] }])
  })

  it('says lost the moment the socket closes, dated at the last message', () => {
    surroundings.socket.say(hello())
    surroundings.pass(700)
    surroundings.socket.say(now)
    surroundings.pass(300)
    surroundings.socket.onclose?.()
    expect(connection.link).toEqual({ phase: 'lost', sinceMs: 700, reason: 'closed' })
  })

  it('says lost when no message came for 1.5 s, not before, and live again with the next one', () => {
    surroundings.socket.say(hello())
    surroundings.pass(SILENT_AFTER_MS - 1)
    expect(connection.link.phase).toBe('live')
    surroundings.pass(1)
    expect(connection.link).toEqual({ phase: 'lost', sinceMs: 0, reason: 'silent' })
    surroundings.socket.say(now)
    expect(connection.link.phase).toBe('live')
  })

  it('gives up a silent socket and opens another, for a half-open line never closes', () => {
    surroundings.socket.say(hello())
    const first = surroundings.socket
    surroundings.pass(5001)
    expect(first.isClosed).toBe(true)
    expect(surroundings.sockets).toHaveLength(2)
  })

  it('keeps the date of the first loss while further tries fail', () => {
    surroundings.socket.say(hello())
    surroundings.pass(100)
    for (let i = 0; i < 5; i++) {
      surroundings.socket.onclose?.()
      surroundings.pass(5000)
    }
    expect(connection.link).toMatchObject({ phase: 'lost', sinceMs: 0 })
  })

  it('tries again within 1 s at first and within 5 s for ever', () => {
    expect(retryDelayMs(0)).toBeLessThanOrEqual(1000)
    expect(retryDelayMs(1)).toBeLessThanOrEqual(1000)
    for (let attempt = 0; attempt < 100; attempt++) expect(retryDelayMs(attempt)).toBeLessThanOrEqual(5000)
    surroundings.socket.onclose?.()
    surroundings.pass(1000)
    expect(surroundings.sockets.length).toBeGreaterThanOrEqual(2)
  })

  it('asks after a reconnect only for what came after the last batch, and says that the rings stay right', () => {
    surroundings.socket.say(hello())
    surroundings.socket.batch(3, { backlog: true, firstSeq: 1 })
    surroundings.socket.say({ type: 'caught-up', zone: 'unwind', seq: 3 })
    surroundings.socket.batch(4)
    surroundings.socket.onclose?.()
    surroundings.pass(1000)
    surroundings.socket.say(hello())
    expect(continued).toEqual([false, true])
    expect(surroundings.socket.sent).toEqual([{ type: 'subscribe', zones: [{ zone: 'unwind', afterSeq: 4 }] }])
  })

  it('asks for the whole backlog again when the first one was cut short', () => {
    surroundings.socket.say(hello())
    surroundings.socket.batch(900)
    surroundings.socket.onclose?.()
    surroundings.pass(1000)
    surroundings.socket.say(hello())
    expect(surroundings.socket.sent).toEqual([{ type: 'subscribe', zones: [{ zone: 'unwind' }] }])
  })

  it.each([{ bootId: 'second' }, { revision: 'b' }])('begins anew after a hello with %o', (change) => {
    surroundings.socket.say(hello())
    surroundings.socket.batch(3, { backlog: true, firstSeq: 1 })
    surroundings.socket.say({ type: 'caught-up', zone: 'unwind', seq: 3 })
    surroundings.socket.say(hello(change))
    expect(continued).toEqual([false, false])
    expect(subscriptions(surroundings.socket).at(-1)).toEqual({ type: 'subscribe', zones: [{ zone: 'unwind' }] })
  })

  it('asks once for a hole between live batches, again after a while, then gives it up', () => {
    surroundings.socket.say(hello())
    surroundings.socket.batch(1, { backlog: true })
    surroundings.socket.say({ type: 'caught-up', zone: 'unwind', seq: 1 })
    surroundings.socket.batch(5)
    surroundings.socket.batch(6)
    const request = { type: 'missed', zone: 'unwind', fromSeq: 2, toSeq: 4 }
    expect(missed(surroundings.socket)).toEqual([request])
    for (let seq = 7; seq < 60; seq++) {
      surroundings.pass(400)
      surroundings.socket.batch(seq)
    }
    expect(missed(surroundings.socket)).toEqual([request, request])
  })

  it('asks for nothing when what was missing has come', () => {
    surroundings.socket.say(hello())
    surroundings.socket.batch(1, { backlog: true })
    surroundings.socket.say({ type: 'caught-up', zone: 'unwind', seq: 1 })
    surroundings.socket.batch(3)
    surroundings.socket.batch(2, { backlog: true })
    surroundings.pass(4000)
    surroundings.socket.batch(4)
    expect(missed(surroundings.socket)).toHaveLength(1)
    expect(batches).toEqual([1, 3, 2, 4])
  })

  it('does not take the place before the backlog for a hole while the backlog is on its way', () => {
    surroundings.socket.say(hello())
    surroundings.socket.batch(1, { backlog: true })
    surroundings.socket.batch(900)
    expect(missed(surroundings.socket)).toEqual([])
  })

  it('asks for dropped samples once it keeps up again, with one range for all of them', () => {
    surroundings.socket.say(hello())
    for (const [firstSeq, lastSeq] of [
      [10, 20],
      [25, 40],
    ]) {
      surroundings.socket.say({ type: 'dropped', zone: 'unwind', samples: 100, firstSeq, lastSeq })
      surroundings.pass(500)
    }
    expect(missed(surroundings.socket)).toEqual([])
    surroundings.socket.say(now)
    surroundings.pass(1400)
    surroundings.socket.say(now)
    surroundings.pass(700)
    expect(missed(surroundings.socket)).toEqual([{ type: 'missed', zone: 'unwind', fromSeq: 10, toSeq: 40 }])
  })

  it('passes over messages it does not know, and ends the talk only for a hello it cannot read', () => {
    surroundings.socket.say(hello())
    surroundings.socket.say({ type: 'something-new' })
    surroundings.socket.say('not JSON')
    expect(connection.link.phase).toBe('live')
    surroundings.socket.say({ type: 'hello', version: 7 })
    expect(connection.link).toMatchObject({ phase: 'lost', reason: 'not-understood' })
  })

  it('tries at once when woken while it waits', () => {
    surroundings.socket.say(hello())
    for (let i = 0; i < 8; i++) {
      surroundings.socket.onclose?.()
      surroundings.pass(5000)
    }
    surroundings.socket.onclose?.()
    const before = surroundings.sockets.length
    connection.wake()
    expect(surroundings.sockets.length).toBe(before + 1)
  })

  it('opens nothing more after it was stopped', () => {
    surroundings.socket.say(hello())
    connection.stop()
    surroundings.pass(60_000)
    expect(surroundings.sockets).toHaveLength(1)
    expect(surroundings.socket.isClosed).toBe(true)
  })
})
