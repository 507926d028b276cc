import type { IncomingMessage } from 'node:http'
import type { Duplex } from 'node:stream'
import { type RawData, type WebSocket, WebSocketServer } from 'ws'
import { EvenpullError } from '../../shared/errors.ts'
import { type ClientMessage, clientMessage } from '../../shared/protocol/messages.ts'
import { CLOSE_LOGGED_OUT, MAX_CLIENT_MESSAGE_BYTES, STREAM_PATH, SUBPROTOCOL } from '../../shared/protocol/version.ts'
import type { ZoneFrame } from '../../shared/sample.ts'
import type { AlarmList } from '../../shared/schemas/alarms.ts'
import type { Health } from '../../shared/schemas/health.ts'
import type { ZoneNow } from '../../shared/schemas/now.ts'
import type { ZoneList } from '../../shared/schemas/zones.ts'
import type { Access } from '../access/access.ts'
import { type Caller, OPEN } from '../access/caller.ts'
import { clientOf } from '../access/cookie.ts'
import { RefusalNotes } from '../access/refusal-notes.ts'
import type { Clock } from '../clock.ts'
import { statusOf } from '../http/refusal.ts'
import { notThere } from '../not-there.ts'
import { encodeText, type LatestKind, type Outlet, StreamClient } from './client.ts'
import { ExpectedBacklog } from './expected-backlog.ts'
import type { RingPosition } from './sample-ring.ts'
import { type HostAllowed, refusalOf, refuseUpgrade } from './upgrade.ts'
import { MAX_PENDING_ROWS, ZoneStream } from './zone-stream.ts'

export const MAX_CLIENTS = 100
/** Frames gather this long into one batch: about one picture of a 60 Hz screen. */
const FLUSH_MS = 16
const KEEPALIVE_MS = 10_000
/** A client too slow for this long, or not heard of for this long, is closed. */
const STALLED_CLOSE_MS = 30_000
export const MAX_REFUSALS = 5
const CLOSE_WAIT_MS = 1000
/** What a client that connects gets after its hello. */
const GREETING: readonly LatestKind[] = ['health', 'alarms', 'now']

/** Close codes of RFC 6455, section 7.4.1. */
const CLOSE_GOING_AWAY = 1001
const CLOSE_POLICY = 1008

export interface StreamHubOptions {
  readonly version: string
  /** Changes with every start of the process. */
  readonly bootId: string
  readonly clock: Clock
  readonly hostAllowed: HostAllowed
  /** Who may listen; everybody when absent. */
  readonly access?: Access
  /** Told of every client that is refused or closed by the hub. */
  readonly log?: (message: string) => void
  /** Milliseconds between pings; KEEPALIVE_MS when absent. */
  readonly keepaliveMs?: number
}

interface Connection {
  readonly socket: WebSocket
  readonly client: StreamClient
  readonly caller: Caller
  refusals: number
  heardMs: number
}

/**
 * The stream: takes every frame from the pipeline in constant time, gathers them into numbered
 * batches, encodes each batch once and hands it to every client that listens. Keeps the newest
 * ten minutes of each zone, so that a page that connects late, or missed some, gets them.
 */
export class StreamHub {
  readonly #options: StreamHubOptions
  readonly #server: WebSocketServer
  readonly #connections = new Set<Connection>()
  readonly #zones = new Map<string, ZoneStream>()
  readonly #expected = new ExpectedBacklog()
  readonly #refusals: RefusalNotes
  /** Where zones that left the config stopped counting: one that comes back goes on from there. */
  readonly #departed = new Map<string, RingPosition>()
  #zoneList: ZoneList = { plant: null, line: null, zones: [] }
  #revision = ''
  /** Newest text of each kind. */
  readonly #latest = new Map<LatestKind, Uint8Array>()
  #flushTimer: NodeJS.Timeout | null = null
  readonly #keepalive: NodeJS.Timeout
  readonly #forgetAccess: () => void

  constructor(options: StreamHubOptions) {
    this.#options = options
    this.#refusals = new RefusalNotes(options.clock.now)
    this.#server = new WebSocketServer({
      noServer: true,
      clientTracking: false,
      maxPayload: MAX_CLIENT_MESSAGE_BYTES,
      // Samples hardly compress, and deflating them for each client costs more than all the rest.
      perMessageDeflate: false,
      handleProtocols: () => SUBPROTOCOL,
    })
    this.#server.on('wsClientError', (error, socket) =>
      refuseUpgrade(socket, { status: 400, error: new EvenpullError('EVP_SOCKET_MESSAGE', error.message) }),
    )
    this.#keepalive = setInterval(() => this.#keepAlive(), options.keepaliveMs ?? KEEPALIVE_MS)
    this.#keepalive.unref()
    this.#forgetAccess = options.access?.onChange(() => this.#closeLoggedOut()) ?? (() => {})
  }

  get clients(): number {
    return this.#connections.size
  }

  /** Takes over a config, at the start and on each reload: every client gets a new hello and keeps its zones. */
  configure(zones: ZoneList, revision: string): void {
    this.#flush()
    const present = new Set(zones.zones.map((zone) => zone.id))
    for (const [id, zone] of this.#zones) if (!present.has(id)) this.#removeZone(id, zone)
    zones.zones.forEach((info, index) => {
      const known = this.#zones.get(info.id)
      if (known === undefined)
        this.#zones.set(info.id, new ZoneStream(info, index, this.#options.clock, this.#departed.get(info.id)))
      else known.reconfigure(info, index)
    })
    this.#zoneList = zones
    this.#revision = revision
    for (const { client } of this.#connections) client.control(this.#hello())
  }

  /** Every frame, from the pipeline; O(1). A zone that the present config does not hold has no listeners. */
  frame(zoneId: string, frame: ZoneFrame): void {
    const zone = this.#zones.get(zoneId)
    if (zone === undefined) return
    zone.push(frame)
    if (zone.pendingRows >= MAX_PENDING_ROWS) this.#flushZone(zone)
    else this.#flushTimer ??= setTimeout(() => this.#flush(), FLUSH_MS)
  }

  /** The newest rows of a zone, not older than so many seconds; undefined for a zone the config does not hold. */
  recent(zoneId: string, seconds: number): ReturnType<ZoneStream['since']> | undefined {
    return this.#zones.get(zoneId)?.since(this.#epochMs() - 1000 * seconds)
  }

  /** Statistics and verdicts of every zone, about four times a second. */
  now(zones: readonly ZoneNow[]): void {
    this.#expected.note(zones)
    this.#toAll('now', encodeText({ type: 'now', timeMs: this.#epochMs(), zones: [...zones] }))
  }

  /** Once a second and on every change of state. */
  health(health: Health): void {
    this.#toAll('health', encodeText({ type: 'health', health }))
  }

  /** On every transition of an alarm, and once a second. */
  alarms(alarms: AlarmList): void {
    this.#toAll('alarms', encodeText({ type: 'alarms', alarms }))
  }

  /** For the HTTP server's `upgrade` event: every upgrade is answered, taken or refused. */
  handleUpgrade(req: IncomingMessage, socket: Duplex, head: Buffer): void {
    socket.on('error', () => socket.destroy())
    const refusal = refusalOf(req, this.#options.hostAllowed)
    if (refusal !== null) {
      if (this.#refusals.isNew(`${clientOf(req).address} ${refusal.status}`))
        this.#log(`stream: refused with ${refusal.status}: ${refusal.error.message}`)
      refuseUpgrade(socket, refusal)
      return
    }
    if (this.clients >= MAX_CLIENTS) {
      const error = new EvenpullError('EVP_TOO_MANY', `${MAX_CLIENTS} clients are connected, the limit`)
      refuseUpgrade(socket, { status: 503, error })
      return
    }
    const admitted = this.#admit(req)
    if (admitted instanceof EvenpullError) {
      refuseUpgrade(socket, { status: statusOf(admitted.code), error: admitted })
      return
    }
    this.#server.handleUpgrade(req, socket, head, (webSocket) => this.#welcome(webSocket, admitted))
  }

  /** Says goodbye to every client and stops; resolves when all are gone. */
  async close(): Promise<void> {
    clearInterval(this.#keepalive)
    this.#forgetAccess()
    if (this.#flushTimer !== null) clearTimeout(this.#flushTimer)
    this.#flushTimer = null
    this.#server.close()
    await Promise.all([...this.#connections].map(({ socket }) => closeSocket(socket)))
  }

  // --- frames to batches ---

  #flush(): void {
    if (this.#flushTimer !== null) clearTimeout(this.#flushTimer)
    this.#flushTimer = null
    for (const zone of this.#zones.values()) this.#flushZone(zone)
  }

  #flushZone(zone: ZoneStream): void {
    const batch = zone.flush()
    if (batch === null) return
    const nowMs = this.#options.clock.now()
    for (const { client } of this.#connections) client.live(zone, batch, nowMs)
  }

  #removeZone(id: string, zone: ZoneStream): void {
    this.#departed.set(id, zone.position)
    this.#zones.delete(id)
    this.#expected.forget(id)
    for (const { client } of this.#connections) client.forget(id)
  }

  #toAll(kind: LatestKind, bytes: Uint8Array): void {
    this.#latest.set(kind, bytes)
    const nowMs = this.#options.clock.now()
    for (const { client } of this.#connections) client.latest(kind, bytes, nowMs)
  }

  // --- clients ---

  #admit(req: IncomingMessage): Caller | EvenpullError {
    const { access } = this.#options
    if (access === undefined) return OPEN
    try {
      const client = clientOf(req)
      const caller = access.callerOf(req.headers, client)
      access.require(caller, 'view', `the stream ${STREAM_PATH}`, client)
      return caller
    } catch (error) {
      if (error instanceof EvenpullError) return error
      throw error
    }
  }

  /** A session that ended, a role that changed, a first user: what was open to a caller is no longer. */
  #closeLoggedOut(): void {
    for (const { socket, caller } of this.#connections)
      if (this.#options.access?.isCurrent(caller) === false) socket.close(CLOSE_LOGGED_OUT, 'log in again')
  }

  #welcome(socket: WebSocket, caller: Caller): void {
    const client = new StreamClient(outletOf(socket))
    const connection: Connection = { socket, client, caller, refusals: 0, heardMs: this.#options.clock.now() }
    this.#connections.add(connection)
    socket.on('error', (error) => this.#log(`stream: client error: ${error.message}`))
    socket.on('close', () => this.#connections.delete(connection))
    socket.on('pong', () => {
      connection.heardMs = this.#options.clock.now()
    })
    socket.on('message', (data, isBinary) => this.#receive(connection, data, isBinary))
    client.control(this.#hello())
    const nowMs = this.#options.clock.now()
    for (const kind of GREETING) {
      const bytes = this.#latest.get(kind)
      if (bytes !== undefined) client.latest(kind, bytes, nowMs)
    }
  }

  #hello() {
    const { version, bootId } = this.#options
    return {
      type: 'hello',
      version,
      bootId,
      timeMs: this.#epochMs(),
      revision: this.#revision,
      zones: this.#zoneList,
    } as const
  }

  #receive(connection: Connection, data: RawData, isBinary: boolean): void {
    connection.heardMs = this.#options.clock.now()
    if (connection.refusals >= MAX_REFUSALS) return
    try {
      this.#obey(connection.client, parseClientMessage(data, isBinary))
    } catch (error) {
      if (!(error instanceof EvenpullError)) throw error
      this.#refuse(connection, error)
    }
  }

  #obey(client: StreamClient, message: ClientMessage): void {
    if (message.type === 'subscribe') {
      client.refuseUnread()
      for (const zone of new Set(message.zones.map(({ zone: id }) => id))) {
        const expected = this.#expected.messageOf(this.#zone(zone).id)
        if (expected !== undefined) client.control(expected)
      }
      client.subscribe(message.zones.map(({ zone, afterSeq }) => ({ zone: this.#zone(zone), afterSeq })))
      return
    }
    const { fromSeq, toSeq } = message
    if (fromSeq > toSeq)
      throw new EvenpullError('EVP_SOCKET_MESSAGE', `missed: expected fromSeq ≤ toSeq, got ${fromSeq} and ${toSeq}`)
    client.missed(this.#zone(message.zone), fromSeq, toSeq)
  }

  #zone(id: string): ZoneStream {
    const zone = this.#zones.get(id)
    if (zone === undefined) throw notThere('zone', id)
    return zone
  }

  #refuse(connection: Connection, error: EvenpullError): void {
    connection.refusals += 1
    connection.client.control({ type: 'refused', error: error.toJSON() })
    if (connection.refusals < MAX_REFUSALS) return
    this.#log(`stream: client closed after ${MAX_REFUSALS} refused messages, the last: ${error.message}`)
    connection.socket.close(CLOSE_POLICY, `${MAX_REFUSALS} messages refused`)
  }

  #keepAlive(): void {
    const nowMs = this.#options.clock.now()
    for (const { socket, client, heardMs } of this.#connections) {
      const stalledMs = client.stalledSinceMs === null ? 0 : nowMs - client.stalledSinceMs
      if (Math.max(stalledMs, nowMs - heardMs) >= STALLED_CLOSE_MS) {
        this.#log(`stream: client closed, it took nothing for ${STALLED_CLOSE_MS / 1000} s`)
        socket.terminate()
      } else if (socket.readyState === socket.OPEN) {
        socket.ping()
      }
    }
  }

  #epochMs(): number {
    return this.#options.clock.toEpoch(this.#options.clock.now())
  }

  #log(message: string): void {
    this.#options.log?.(message)
  }
}

function outletOf(socket: WebSocket): Outlet {
  return {
    get bufferedAmount() {
      return socket.bufferedAmount
    },
    send: (bytes, binary, done) =>
      socket.send(bytes, { binary }, (error) => {
        // An error here has closed the socket, and its close event removes the client.
        if (error === undefined || error === null) done()
      }),
    later: setImmediate,
  }
}

/** What a client said. Throws EVP_SOCKET_MESSAGE with what was expected where. */
function parseClientMessage(data: RawData, isBinary: boolean): ClientMessage {
  if (isBinary) throw new EvenpullError('EVP_SOCKET_MESSAGE', 'expected a text message, got a binary one')
  let json: unknown
  try {
    json = JSON.parse(String(data))
  } catch (cause) {
    throw new EvenpullError('EVP_SOCKET_MESSAGE', 'expected JSON', { cause })
  }
  const parsed = clientMessage.safeParse(json)
  if (parsed.success) return parsed.data
  const issues = parsed.error.issues.map((issue) => `${issue.path.join('.') || 'message'}: ${issue.message}`)
  throw new EvenpullError('EVP_SOCKET_MESSAGE', issues.slice(0, 3).join('; ').slice(0, 300))
}

function closeSocket(socket: WebSocket): Promise<void> {
  return new Promise((resolve) => {
    const timer = setTimeout(() => socket.terminate(), CLOSE_WAIT_MS)
    socket.once('close', () => {
      clearTimeout(timer)
      resolve()
    })
    socket.close(CLOSE_GOING_AWAY, 'the gateway is stopping')
  })
}
