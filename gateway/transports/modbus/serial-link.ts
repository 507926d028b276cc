import type { SerialPort as SerialPortClass } from 'serialport'
import { EvenpullError } from '../../../shared/errors.ts'
import type { ModbusDeviceConfig } from '../../../shared/schemas/config.ts'
import type { ByteLink, LinkEvents } from './byte-link.ts'

export type SerialSettings = Extract<ModbusDeviceConfig, { transport: 'modbus-rtu' }>

/** Opens a serial line. Rejects with EVP_SERIAL_OPEN, also when the serial binding is not installed for this system. */
export async function openSerialLink(
  settings: SerialSettings,
  events: LinkEvents,
  signal: AbortSignal,
): Promise<ByteLink> {
  const port = await createPort(settings)
  await new Promise<void>((resolve, reject) => {
    port.open((error) => {
      if (error) reject(serialError(settings.path, error))
      else resolve()
    })
  })
  const link = asLink(port, events)
  if (!signal.aborted) return link
  await link.close()
  throw new EvenpullError('EVP_SERIAL_OPEN', `${settings.path}: given up`)
}

/** Loaded when first needed: a gateway without serial devices runs without the native binding. */
async function createPort(settings: SerialSettings): Promise<SerialPortClass> {
  try {
    const { SerialPort } = await import('serialport')
    return new SerialPort({
      path: settings.path,
      baudRate: settings.baud,
      parity: settings.parity,
      dataBits: settings.data_bits,
      stopBits: settings.stop_bits,
      lock: true,
      autoOpen: false,
    })
  } catch (error) {
    throw serialError(settings.path, error)
  }
}

function serialError(path: string, cause: unknown): EvenpullError {
  return new EvenpullError('EVP_SERIAL_OPEN', `${path} cannot be opened: ${serialReason(path, cause)}`, { cause })
}

/** The driver says `Error: No such file or directory, cannot open PATH`: only the middle of it is news. */
function serialReason(path: string, cause: unknown): string {
  const words = (cause instanceof Error ? cause.message : String(cause)).replace(/^(Error: )+/, '')
  const plain = words.replace(`, cannot open ${path}`, '')
  return plain.charAt(0).toLowerCase() + plain.slice(1)
}

function asLink(port: SerialPortClass, events: LinkEvents): ByteLink {
  let open = true
  const shut = (): Promise<void> => {
    open = false
    return new Promise((resolve) => {
      if (port.isOpen) port.close(() => resolve())
      else resolve()
    })
  }
  const end = (reason: string) => {
    if (!open) return
    void shut()
    events.ended(reason)
  }
  port.on('data', (chunk: Buffer) => {
    if (open) events.data(chunk)
  })
  port.on('error', (error: Error) => end(error.message))
  port.on('close', (error?: Error | null) => end(error?.message ?? 'the serial port was closed'))
  return {
    write: (bytes) => {
      if (open) port.write(bytes)
    },
    close: shut,
  }
}
