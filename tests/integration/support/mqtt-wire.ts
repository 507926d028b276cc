import { connect, createServer, type Socket } from 'node:net'

/** Packet types by their number (MQTT 5.0, table 2-1). */
export const PACKETS = { connect: 1, publish: 3, puback: 4, subscribe: 8, unsubscribe: 10, pingreq: 12, disconnect: 14 }

/** A line between a client and a broker that can be cut, and that counts what the client sends. */
export interface MqttWire {
  readonly port: number
  /** Types of the packets that the client sent, in order, as their fixed headers say. */
  readonly sent: number[]
  /** While false, new connections are refused and those there are broken off. */
  open(isOpen: boolean): void
  /** From now on nothing comes back from the broker: it takes messages, and nobody learns of it. */
  loseAnswers(): void
  stop(): Promise<void>
}

export async function mqttWire(brokerPort: number): Promise<MqttWire> {
  const sent: number[] = []
  const sockets = new Set<Socket>()
  let isOpen = true
  let areLost = false
  const server = createServer((client) => {
    if (!isOpen) {
      client.destroy()
      return
    }
    const broker = connect(brokerPort, '127.0.0.1')
    const count = packetCounter(sent)
    for (const [socket, other] of [[client, broker] as const, [broker, client] as const]) {
      sockets.add(socket)
      socket.on('error', () => {})
      socket.on('close', () => {
        sockets.delete(socket)
        other.destroy()
      })
    }
    client.on('data', (bytes) => {
      count(bytes)
      broker.write(bytes)
    })
    broker.on('data', (bytes) => areLost || client.write(bytes))
  })
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  const cut = () => {
    for (const socket of sockets) socket.destroy()
  }
  return {
    port: (server.address() as { port: number }).port,
    sent,
    open(next) {
      isOpen = next
      areLost = false
      if (!next) cut()
    },
    loseAnswers() {
      areLost = true
    },
    stop: () => {
      cut()
      return new Promise((resolve) => server.close(() => resolve()))
    },
  }
}

/**
 * Counts packets by their fixed header: type in the upper four bits of the first byte, then the remaining length as a
 * variable byte integer (MQTT 5.0, sections 2.1 and 1.5.5). Written from that text, not from the library's parser.
 */
function packetCounter(sent: number[]): (bytes: Buffer) => void {
  let held = Buffer.alloc(0)
  return (bytes) => {
    held = Buffer.concat([held, bytes])
    for (;;) {
      const end = packetEnd(held)
      if (end === null || end > held.length) return
      sent.push((held[0] ?? 0) >> 4)
      held = held.subarray(end)
    }
  }
}

function packetEnd(bytes: Buffer): number | null {
  let length = 0
  for (let i = 1; i <= 4; i++) {
    const byte = bytes[i]
    if (byte === undefined) return null
    length += (byte & 0x7f) * 128 ** (i - 1)
    if (byte < 128) return 1 + i + length
  }
  return null
}
