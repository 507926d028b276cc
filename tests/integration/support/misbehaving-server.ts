import { createServer, type Server, type Socket } from 'node:net'

/**
 * A Modbus server over raw sockets that can be told to break the protocol in any way. Written by
 * hand from the specifications and sharing no code with the product, so that one mistake cannot
 * hide in both. Every value tells the request it was made for.
 */

/** Value of a register in the answer to request number `n`: no two requests have an equal register. */
export function registerValue(address: number, n: number): number {
  return (address * 251 + n * 4099 + 17) & 0xffff
}

/** CRC as in Modbus over Serial Line V1.02 §6.2.2, bit by bit. */
export function slowCrc(bytes: Uint8Array): number {
  let crc = 0xffff
  for (const byte of bytes) {
    crc ^= byte
    for (let bit = 0; bit < 8; bit++) crc = (crc & 1) === 1 ? (crc >> 1) ^ 0xa001 : crc >> 1
  }
  return crc
}

export type Wire = 'tcp' | 'rtu'

export interface SeenRequest {
  /** Counts from 1, over all connections. */
  readonly n: number
  readonly transactionId: number
  readonly unitId: number
  readonly function: number
  readonly address: number
  readonly count: number
  readonly raw: Buffer
}

/** Any part of an answer, to be got wrong on purpose; what is left out is right. */
export interface FrameParts {
  transactionId?: number
  protocolId?: number
  lengthField?: number
  unitId?: number
  function?: number
  byteCount?: number
  words?: readonly number[]
  /** Replaces everything after the unit. */
  pdu?: Buffer
  crc?: number
}

/** One request and the means to answer it. */
export class Turn {
  readonly request: SeenRequest
  readonly socket: Socket
  readonly #wire: Wire

  constructor(request: SeenRequest, socket: Socket, wire: Wire) {
    this.request = request
    this.socket = socket
    this.#wire = wire
  }

  /** Whether a transaction id tells to which request an answer belongs. */
  get carriesId(): boolean {
    return this.#wire === 'tcp'
  }

  words(): number[] {
    const { address, count, n } = this.request
    return Array.from({ length: count }, (_, i) => registerValue(address + i, n))
  }

  frame(parts: FrameParts = {}): Buffer {
    const words = parts.words ?? this.words()
    const data = Buffer.alloc(words.length * 2)
    for (const [i, word] of words.entries()) data.writeUInt16BE(word, i * 2)
    const code = parts.function ?? this.request.function
    const pdu = parts.pdu ?? Buffer.concat([Buffer.from([code, parts.byteCount ?? data.length]), data])
    const body = Buffer.concat([Buffer.from([parts.unitId ?? this.request.unitId]), pdu])
    if (this.#wire === 'rtu') {
      const crc = parts.crc ?? slowCrc(body)
      return Buffer.concat([body, Buffer.from([crc & 0xff, crc >> 8])])
    }
    const header = Buffer.alloc(6)
    header.writeUInt16BE((parts.transactionId ?? this.request.transactionId) & 0xffff, 0)
    header.writeUInt16BE(parts.protocolId ?? 0, 2)
    header.writeUInt16BE(parts.lengthField ?? body.length, 4)
    return Buffer.concat([header, body])
  }

  exception(code: number, parts: FrameParts = {}): Buffer {
    const functionCode = parts.function ?? this.request.function | 0x80
    return this.frame({ ...parts, pdu: Buffer.from([functionCode, code]) })
  }

  send(bytes: Buffer): void {
    if (!this.socket.destroyed) this.socket.write(bytes)
  }

  /** Sends after `ms`, whatever has happened to the request by then. */
  sendAfter(ms: number, bytes: Buffer): void {
    setTimeout(() => this.send(bytes), ms)
  }
}

export type Behaviour = (turn: Turn) => void

const wellBehaved: Behaviour = (turn) => turn.send(turn.frame())

export class MisbehavingServer {
  readonly seen: SeenRequest[] = []
  readonly sockets = new Set<Socket>()
  readonly #wire: Wire
  #server: Server | null = null
  #port = 0
  #normal: Behaviour = wellBehaved
  #odd: Behaviour | null = null
  #oddLeft = 0
  #count = 0

  constructor(wire: Wire) {
    this.#wire = wire
  }

  get port(): number {
    return this.#port
  }

  /** Whether the odd behaviour has been used up. */
  get isWell(): boolean {
    return this.#oddLeft === 0
  }

  get newest(): SeenRequest | undefined {
    return this.seen.at(-1)
  }

  /** Answers the next `times` requests in an odd way, then well again. */
  misbehave(times: number, behaviour: Behaviour): void {
    this.#odd = behaviour
    this.#oddLeft = times
  }

  /** What being well means, for example slow but right. */
  normally(behaviour: Behaviour): void {
    this.#normal = behaviour
  }

  /** Listens on a free port, or on the one it had before. */
  listen(): Promise<this> {
    const server = createServer((socket) => this.#serve(socket))
    this.#server = server
    return new Promise((resolve, reject) => {
      server.once('error', reject)
      server.listen(this.#port, '127.0.0.1', () => {
        const address = server.address()
        if (address !== null && typeof address === 'object') this.#port = address.port
        resolve(this)
      })
    })
  }

  /** Resets every connection and refuses new ones. */
  vanish(): Promise<void> {
    const server = this.#server
    this.#server = null
    for (const socket of this.sockets) socket.resetAndDestroy()
    return new Promise((resolve) => (server === null ? resolve() : server.close(() => resolve())))
  }

  #serve(socket: Socket): void {
    this.sockets.add(socket)
    socket.setNoDelay(true)
    let received = Buffer.alloc(0)
    socket.on('error', () => {})
    socket.on('close', () => this.sockets.delete(socket))
    socket.on('data', (chunk) => {
      received = Buffer.concat([received, chunk])
      const length = this.#wire === 'tcp' ? 12 : 8
      while (received.length >= length) {
        this.#take(received.subarray(0, length), socket)
        received = received.subarray(length)
      }
    })
  }

  #take(raw: Buffer, socket: Socket): void {
    const at = this.#wire === 'tcp' ? 6 : 0
    const request: SeenRequest = {
      n: ++this.#count,
      transactionId: this.#wire === 'tcp' ? raw.readUInt16BE(0) : 0,
      unitId: raw.readUInt8(at),
      function: raw.readUInt8(at + 1),
      address: raw.readUInt16BE(at + 2),
      count: raw.readUInt16BE(at + 4),
      raw: Buffer.from(raw),
    }
    this.seen.push(request)
    if (this.seen.length > 2000) this.seen.splice(0, 1000)
    const turn = new Turn(request, socket, this.#wire)
    if (this.#odd === null || this.#oddLeft === 0) {
      this.#normal(turn)
      return
    }
    this.#oddLeft--
    this.#odd(turn)
  }
}
