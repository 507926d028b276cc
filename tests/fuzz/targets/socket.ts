import WebSocket from 'ws'
import type { Random } from '../../../lib/uncertainty/random.ts'
import { STREAM_PATH, SUBPROTOCOL } from '../../../shared/protocol/version.ts'
import { serve } from '../../http/support/served.ts'
import { until } from '../../integration/support/stream-client.ts'
import { madeZone, oneCell } from '../../stream/support/made-stream.ts'
import { mutatedBytes, mutatedJson, mutatedText, noise, pick } from '../mutate.ts'
import type { Target } from '../target.ts'

const RIGHT: readonly unknown[] = [
  { type: 'subscribe', zones: [{ zone: 'a' }, { zone: 'a', afterSeq: 3 }] },
  { type: 'missed', zone: 'a', fromSeq: 0, toSeq: 5 },
]
/** A connection for so many; the server closes it before on whoever sends too many wrong ones. */
const A_CONNECTION = 20

/** Messages to the stream, as text and binary, over real sockets. */
export const socket: Target = {
  name: 'socket messages',
  inputs: 20_000,
  holds:
    'is followed, refused, or ends the connection; the next page is greeted as ever, and the log tells of no fault',
  async open() {
    const served = await serve()
    served.hub.configure({ plant: null, line: null, zones: [madeZone('a')] }, 'r1')
    served.hub.frame('a', oneCell(0, 1))
    let peer: Peer | null = null
    const connected = async () => {
      peer?.socket.terminate()
      peer = await greeted(served.port)
      const fault = served.log.find((line) => /TypeError|RangeError|INTERNAL/.test(line))
      if (fault !== undefined) throw new Error(fault)
      return peer
    }
    return {
      async feed(random, i) {
        const isOver = peer === null || peer.socket.readyState !== WebSocket.OPEN
        const { socket: to, refusals } =
          i % A_CONNECTION === 0 || isOver ? await connected() : (peer as unknown as Peer)
        const before = refusals()
        to.send(message(random))
        const isAlive = await answered(to)
        return isAlive && refusals() === before ? 'taken' : 'refused'
      },
      async close() {
        await connected()
        peer?.socket.terminate()
        await served.close()
      },
    }
  },
}

interface Peer {
  readonly socket: WebSocket
  readonly refusals: () => number
}

async function greeted(port: number): Promise<Peer> {
  const to = new WebSocket(`ws://127.0.0.1:${port}${STREAM_PATH}`, SUBPROTOCOL)
  const counts = { messages: 0, refused: 0 }
  to.on('message', (data, isBinary) => {
    counts.messages += 1
    if (!isBinary && String(data).startsWith('{"type":"refused"')) counts.refused += 1
  })
  to.on('error', () => {})
  await until(() => counts.messages > 0, 'to be greeted')
  return { socket: to, refusals: () => counts.refused }
}

/** Messages are taken in their order: when a ping is answered, what went before it has been. False when the connection ended instead. */
function answered(to: WebSocket): Promise<boolean> {
  return new Promise((resolve) => {
    const end = (isAlive: boolean) => {
      to.off('pong', pong)
      to.off('close', close)
      resolve(isAlive)
    }
    const pong = () => end(true)
    const close = () => end(false)
    to.once('pong', pong)
    to.once('close', close)
    if (to.readyState === WebSocket.OPEN) to.ping()
    else if (to.readyState === WebSocket.CLOSED) end(false)
  })
}

function message(random: Random): string | Buffer {
  const right = pick(random, RIGHT)
  const text = JSON.stringify(random.uniform() < 0.6 ? mutatedJson(random, right) : right) ?? 'undefined'
  const chance = random.uniform()
  if (chance < 0.3) return mutatedText(random, text)
  if (chance < 0.4) return noise(random, 100)
  return chance < 0.5 ? mutatedBytes(random, Buffer.from(text)) : text
}
