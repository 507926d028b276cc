import { SerialPort } from 'serialport'
import { EvenpullError } from '../../shared/errors.ts'
import type { FieldDevice } from './field-device.ts'
import { answerRequest, quietSeconds, type SerialLine, takeRequests, wireSeconds } from './rtu-frame.ts'

export interface RtuServer {
  readonly path: string
  close(): Promise<void>
}

/** A computer's serial driver may hand over one frame in pieces this far apart, s; shorter silences prove nothing here. */
const DRIVER_GAP_S = 0.02

/**
 * Modbus RTU devices on one serial line, each under its unit id; a request for another id is not
 * answered. An answer leaves no earlier than request, quiet time and answer would take on a real
 * wire at this baud rate, so that a pseudo-terminal is not faster than the line it stands for.
 * Rejects with EVP_SERIAL_OPEN.
 */
export async function serveModbusRtu(
  devices: readonly FieldDevice[],
  path: string,
  line: SerialLine,
): Promise<RtuServer> {
  const port = await openPort(path, line)
  const bankOf = (unitId: number) => devices.find((device) => device.spec.unitId === unitId && !device.silent)
  const pauses = new Set<NodeJS.Timeout>()
  let received: Buffer = Buffer.alloc(0)
  let silence: NodeJS.Timeout | undefined

  const later = (seconds: number, run: () => void): NodeJS.Timeout => {
    const timer = setTimeout(() => {
      pauses.delete(timer)
      run()
    }, seconds * 1000)
    pauses.add(timer)
    return timer
  }
  const answerAll = (quiet: boolean) => {
    const { frames, rest } = takeRequests(received, quiet)
    received = rest
    for (const frame of frames) {
      const answer = answerRequest(frame, bankOf)
      if (answer === null) continue
      later(wireSeconds(line, frame.length + answer.length) + quietSeconds(line), () => port.write(answer))
    }
  }
  port.on('data', (chunk: Buffer) => {
    received = Buffer.concat([received, chunk])
    clearTimeout(silence)
    if (silence !== undefined) pauses.delete(silence)
    answerAll(false)
    silence = later(Math.max(DRIVER_GAP_S, quietSeconds(line)), () => answerAll(true))
  })
  port.on('error', () => undefined)
  const close = () =>
    new Promise<void>((resolve) => {
      for (const timer of pauses) clearTimeout(timer)
      if (port.isOpen) port.close(() => resolve())
      else resolve()
    })
  return { path, close }
}

function openPort(path: string, line: SerialLine): Promise<SerialPort> {
  return new Promise((resolve, reject) => {
    const settings = { baudRate: line.baud, parity: line.parity, dataBits: 8, stopBits: line.stopBits } as const
    const port = new SerialPort({ path, ...settings, autoOpen: false })
    port.open((error) => {
      if (error === null) resolve(port)
      else reject(new EvenpullError('EVP_SERIAL_OPEN', `cannot open ${path}: ${error.message}`, { cause: error }))
    })
  })
}
