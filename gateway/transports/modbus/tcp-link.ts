import { connect, type Socket } from 'node:net'
import { EvenpullError } from '../../../shared/errors.ts'
import type { ByteLink, LinkEvents } from './byte-link.ts'

/** A host that is off swallows the first packet; a new attempt each second finds it back soon (common practice, no source). */
const CONNECT_TIMEOUT_MS = 1000
const KEEPALIVE_AFTER_MS = 5000

/** Opens a TCP link. Rejects with EVP_DEVICE_UNREACHABLE. */
export function openTcpLink(
  { host, port }: { readonly host: string; readonly port: number },
  events: LinkEvents,
  signal: AbortSignal,
): Promise<ByteLink> {
  return new Promise((resolve, reject) => {
    const socket = connect({ host, port, noDelay: true, keepAlive: true, keepAliveInitialDelay: KEEPALIVE_AFTER_MS })
    const refuse = (reason: string) => {
      clearTimeout(deadline)
      signal.removeEventListener('abort', abort)
      socket.removeAllListeners()
      socket.on('error', () => {})
      socket.destroy()
      reject(new EvenpullError('EVP_DEVICE_UNREACHABLE', `${host}:${port} cannot be reached: ${reason}`))
    }
    const abort = () => refuse('given up')
    const deadline = setTimeout(() => refuse(`no answer within ${CONNECT_TIMEOUT_MS} ms`), CONNECT_TIMEOUT_MS)
    signal.addEventListener('abort', abort)
    socket.once('error', (error) => refuse(error.message))
    socket.once('connect', () => {
      clearTimeout(deadline)
      signal.removeEventListener('abort', abort)
      socket.removeAllListeners('error')
      resolve(asLink(socket, events))
    })
  })
}

/** FIN, RST and errors end the link at once: what came of a frame by then will not become whole. */
function asLink(socket: Socket, events: LinkEvents): ByteLink {
  let open = true
  const end = (reason: string) => {
    if (!open) return
    open = false
    socket.destroy()
    events.ended(reason)
  }
  socket.on('data', (chunk) => {
    if (open) events.data(chunk)
  })
  socket.on('end', () => end('the device closed the connection'))
  socket.on('error', (error) => end(error.message))
  socket.on('close', () => end('the connection was closed'))
  return {
    write: (bytes) => {
      if (open) socket.write(bytes)
    },
    close: async () => {
      open = false
      socket.destroy()
    },
  }
}
