import WebSocket from 'ws'
import { type ClientMessage, type ServerMessage, serverMessage } from '../../../shared/protocol/messages.ts'
import { decodeSampleBatch, KIND_SAMPLES, type SampleBatch } from '../../../shared/protocol/sample-batch.ts'
import { STREAM_PATH, SUBPROTOCOL } from '../../../shared/protocol/version.ts'

/** A page's end of the stream, over a real socket: keeps all it gets. */
export class StreamPeer {
  readonly socket: WebSocket
  readonly batches: SampleBatch[] = []
  readonly messages: ServerMessage[] = []
  /** Rows of samples so far, all zones together. */
  rows = 0
  closed: { code: number; reason: string } | null = null

  constructor(port: number) {
    this.socket = new WebSocket(`ws://127.0.0.1:${port}${STREAM_PATH}`, SUBPROTOCOL)
    this.socket.binaryType = 'arraybuffer'
    this.socket.on('message', (data, isBinary) => this.#receive(data as ArrayBuffer, isBinary))
    this.socket.on('close', (code, reason) => {
      this.closed = { code, reason: reason.toString() }
    })
    this.socket.on('error', () => {})
  }

  /** Connects, waits for hello, subscribes to the zones (each after a batch, or from the backlog on). */
  static async open(port: number, zones: Readonly<Record<string, number | undefined>>): Promise<StreamPeer> {
    const peer = new StreamPeer(port)
    await peer.first('hello')
    peer.send({
      type: 'subscribe',
      zones: Object.entries(zones).map(([zone, afterSeq]) => ({
        zone,
        ...(afterSeq === undefined ? {} : { afterSeq }),
      })),
    })
    return peer
  }

  #receive(data: ArrayBuffer, isBinary: boolean): void {
    if (!isBinary) {
      this.messages.push(serverMessage.parse(JSON.parse(Buffer.from(data).toString('utf8'))))
      return
    }
    const batch = decodeSampleBatch(data)
    if (batch === null) throw new Error('a binary message was no batch')
    this.batches.push(batch)
    if (batch.kind === KIND_SAMPLES) this.rows += batch.timesMs.length
  }

  send(message: ClientMessage): void {
    this.socket.send(JSON.stringify(message))
  }

  all<Type extends ServerMessage['type']>(type: Type): Extract<ServerMessage, { type: Type }>[] {
    return this.messages.filter((m): m is Extract<ServerMessage, { type: Type }> => m.type === type)
  }

  async first<Type extends ServerMessage['type']>(type: Type): Promise<Extract<ServerMessage, { type: Type }>> {
    await until(() => this.all(type).length > 0 || this.closed !== null, `a ${type} message`)
    const [message] = this.all(type)
    if (message === undefined) throw new Error(`closed before a ${type} message`)
    return message
  }

  /** Batches of samples of the zone with this index. */
  samples(zone: number): SampleBatch[] {
    return this.batches.filter((batch) => batch.kind === KIND_SAMPLES && batch.zone === zone)
  }

  /** Values of the first column of a zone, in the order they came. */
  values(zone: number): number[] {
    return this.samples(zone).flatMap((batch) => [...(batch.values[0] ?? [])])
  }

  async close(): Promise<void> {
    this.socket.close()
    await until(() => this.socket.readyState === WebSocket.CLOSED, 'the socket to close')
  }
}

/** Polls until true; the deadline is generous and only there to end a broken test. */
export async function until(condition: () => boolean, what: string, deadlineMs = 30_000): Promise<void> {
  const end = Date.now() + deadlineMs
  while (!condition()) {
    if (Date.now() > end) throw new Error(`waited ${deadlineMs} ms for ${what}`)
    await new Promise((resolve) => setTimeout(resolve, 5))
  }
}
