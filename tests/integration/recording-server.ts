import type { AddressInfo } from 'node:net'
import { createServer, type Socket } from 'node:net'

/**
 * A Modbus TCP device for tests, written straight from the Modbus Messaging on TCP/IP
 * Implementation Guide V1.0b §3.1.3 (MBAP header) and the Modbus Application Protocol V1.1b3
 * §6.3, §6.4 and §7, sharing nothing with the product. It keeps every byte that reached it.
 */
export interface RecordingServer {
  readonly port: number
  /** Every request as it came: unit, function, address, count. */
  readonly requests: readonly { unit: number; fn: number; address: number; count: number; atMs: number }[]
  /** Connections that were ever made to it. */
  connections(): number
  /** Every byte that reached it. */
  bytes(): Buffer
  close(): Promise<void>
}

export interface ServerBehaviour {
  /** Wait before each answer. */
  readonly delayMs?: number
  /** An exception code instead of an answer, or null; undefined says nothing at all. */
  readonly refuse?: (request: { unit: number; fn: number; address: number; count: number }) => number | null | undefined
  /** What register n holds; n itself when absent. */
  readonly register?: (n: number) => number
}

export async function recordingServer(behaviour: ServerBehaviour = {}): Promise<RecordingServer> {
  const requests: { unit: number; fn: number; address: number; count: number; atMs: number }[] = []
  const chunks: Buffer[] = []
  const sockets = new Set<Socket>()
  let connections = 0
  const server = createServer((socket) => {
    connections++
    sockets.add(socket)
    let buffered = Buffer.alloc(0)
    socket.on('error', () => {})
    socket.on('close', () => sockets.delete(socket))
    socket.on('data', (chunk) => {
      chunks.push(chunk)
      buffered = Buffer.concat([buffered, chunk])
      while (buffered.length >= 6 && buffered.length >= 6 + buffered.readUInt16BE(4)) {
        const frame = buffered.subarray(0, 6 + buffered.readUInt16BE(4))
        buffered = buffered.subarray(frame.length)
        const request = {
          unit: frame.readUInt8(6),
          fn: frame.readUInt8(7),
          address: frame.readUInt16BE(8),
          count: frame.readUInt16BE(10),
          atMs: performance.now(),
        }
        requests.push(request)
        const answer = answerTo(frame, request, behaviour)
        if (answer !== null) setTimeout(() => socket.write(answer), behaviour.delayMs ?? 0)
      }
    })
  })
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  return {
    port: (server.address() as AddressInfo).port,
    requests,
    connections: () => connections,
    bytes: () => Buffer.concat(chunks),
    close: async () => {
      for (const socket of sockets) socket.destroy()
      await new Promise((resolve) => server.close(resolve))
    },
  }
}

function answerTo(
  frame: Buffer,
  request: { unit: number; fn: number; address: number; count: number },
  behaviour: ServerBehaviour,
): Buffer | null {
  const refused = behaviour.refuse === undefined ? null : behaviour.refuse(request)
  if (refused === undefined) return null
  const body =
    refused === null
      ? Buffer.concat([
          Buffer.from([request.fn, request.count * 2]),
          ...Array.from({ length: request.count }, (_, i) => {
            const word = Buffer.alloc(2)
            word.writeUInt16BE((behaviour.register?.(request.address + i) ?? request.address + i) & 0xffff)
            return word
          }),
        ])
      : Buffer.from([request.fn | 0x80, refused])
  const header = Buffer.from(frame.subarray(0, 7))
  header.writeUInt16BE(body.length + 1, 4)
  return Buffer.concat([header, body])
}

/** Waits until `ready` holds, looking every few milliseconds; fails with `what` after 20 s. */
export async function until(what: string, ready: () => boolean): Promise<void> {
  const deadline = performance.now() + 20_000
  while (!ready()) {
    if (performance.now() > deadline) throw new Error(`waited 20 s in vain: ${what}`)
    await new Promise((resolve) => setTimeout(resolve, 5))
  }
}
