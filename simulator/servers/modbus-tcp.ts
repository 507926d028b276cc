import { createServer, type Socket } from 'node:net'
import { EvenpullError } from '../../shared/errors.ts'
import type { FieldDevice } from './field-device.ts'
import { answerPdu, EXCEPTION, exceptionPdu } from './pdu.ts'

export interface TcpServer {
  readonly host: string
  readonly port: number
  close(): Promise<void>
}

const HEADER_BYTES = 7
/** Unit id and PDU: the shortest has a function code, the longest PDU is 253 bytes (Application Protocol V1.1b3 §4.1). */
const SHORTEST_LENGTH = 2
const LONGEST_LENGTH = 254
/** Unit ids that mean "the device itself" on TCP (Messaging on TCP/IP Implementation Guide V1.0b §4.4.1.2). */
const DEVICE_ITSELF: readonly number[] = [0, 255]

/**
 * A Modbus TCP server in front of one device. Several clients, pipelined requests. Another unit
 * id gets exception 11, as from a gateway with nobody behind it.
 * Rejects with EVP_PORT_TAKEN, or EVP_USAGE for an address this machine does not have.
 */
export function serveModbusTcp(device: FieldDevice, host: string, port: number): Promise<TcpServer> {
  const sockets = new Set<Socket>()
  const server = createServer({ noDelay: true }, (socket) => {
    sockets.add(socket)
    socket.on('close', () => sockets.delete(socket))
    // A client that resets its connection is its own affair; 'close' follows.
    socket.on('error', () => undefined)
    answerSocket(socket, device)
  })
  const close = () =>
    new Promise<void>((resolve) => {
      for (const socket of sockets) socket.destroy()
      server.close(() => resolve())
    })
  return new Promise((resolve, reject) => {
    server.once('error', (error: NodeJS.ErrnoException) => reject(listenError(error, host, port)))
    server.listen(port, host, () => {
      const address = server.address()
      const actual = typeof address === 'object' && address !== null ? address.port : port
      resolve({ host, port: actual, close })
    })
  })
}

function listenError(error: NodeJS.ErrnoException, host: string, port: number): EvenpullError {
  if (error.code === 'EADDRINUSE') {
    return new EvenpullError('EVP_PORT_TAKEN', `${host}:${port} is in use by another program`, { cause: error })
  }
  return new EvenpullError('EVP_USAGE', `cannot listen on ${host}:${port}: ${error.message}`, { cause: error })
}

function answerSocket(socket: Socket, device: FieldDevice): void {
  let pending: Buffer = Buffer.alloc(0)
  socket.on('data', (chunk: Buffer) => {
    pending = pending.length === 0 ? chunk : Buffer.concat([pending, chunk])
    while (pending.length >= HEADER_BYTES) {
      const length = pending.readUInt16BE(4)
      if (pending.readUInt16BE(2) !== 0 || length < SHORTEST_LENGTH || length > LONGEST_LENGTH) {
        // Not Modbus: there is no way back to a frame's beginning in a stream.
        socket.destroy()
        return
      }
      const end = HEADER_BYTES - 1 + length
      if (pending.length < end) return
      const answer = answerFrame(pending.subarray(0, end), device)
      if (answer !== null) socket.write(answer)
      pending = pending.subarray(end)
    }
  })
}

function answerFrame(frame: Buffer, device: FieldDevice): Buffer | null {
  if (device.silent) return null
  const unit = frame[6] ?? 0
  const pdu = frame.subarray(HEADER_BYTES)
  const known = unit === device.spec.unitId || DEVICE_ITSELF.includes(unit)
  const answer = known ? answerPdu(pdu, device) : exceptionPdu(pdu[0] ?? 0, EXCEPTION.gatewayTargetSilent)
  const out = Buffer.alloc(HEADER_BYTES + answer.length)
  frame.copy(out, 0, 0, 4)
  out.writeUInt16BE(answer.length + 1, 4)
  out[6] = unit
  answer.copy(out, HEADER_BYTES)
  return out
}
