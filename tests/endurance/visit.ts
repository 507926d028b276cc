import WebSocket from 'ws'
import { STREAM_PATH, SUBPROTOCOL } from '../../shared/protocol/version.ts'
import type { WatchedGateway } from './watched-gateway.ts'

const HOUR_MS = 3_600_000
/** So many messages of the stream make a visit. */
const MESSAGES = 20
const GIVE_UP_MS = 20_000

/** A person comes, looks at everything for a moment, and goes: what he opened must be closed when he has gone. */
export async function visit(gateway: WatchedGateway, nowMs: number): Promise<void> {
  const range = (hours: number) => `from=${Math.round(nowMs - hours * HOUR_MS)}&to=${Math.round(nowMs)}`
  await watchStream(gateway.address)
  for (const path of ['now', 'spectrum?seconds=60', `history?${range(8)}&points=600`, `shift?${range(8)}`])
    await gateway.text(`/api/zones/z/${path}`)
  for (const path of ['/api/events?limit=100', '/api/alarms', '/metrics']) await gateway.text(path)
  await gateway.text(`/api/zones/z/export?${range(1 / 6)}&format=csv`)
}

async function watchStream(address: string): Promise<void> {
  const socket = new WebSocket(address.replace(/^http/, 'ws') + STREAM_PATH, SUBPROTOCOL)
  await new Promise<void>((resolve) => {
    let messages = 0
    const done = () => {
      clearTimeout(late)
      resolve()
    }
    const late = setTimeout(done, GIVE_UP_MS)
    socket.on('open', () => socket.send(JSON.stringify({ type: 'subscribe', zones: [{ zone: 'z' }] })))
    socket.on('message', () => {
      messages += 1
      if (messages >= MESSAGES) done()
    })
    socket.on('error', done)
    socket.on('close', done)
  })
  const closed = new Promise((resolve) => socket.once('close', resolve))
  if (socket.readyState === WebSocket.CLOSED) return
  socket.close()
  await closed
}
