import type { DeviceConfig } from '../../shared/schemas/config.ts'
import { IioTransport } from './iio/iio-transport.ts'
import type { Line } from './line.ts'
import { createModbusTransport } from './modbus/modbus-transport.ts'
import { CsvRecording } from './replay/csv-recording.ts'

type DeviceOf<T extends DeviceConfig['transport']> = Extract<DeviceConfig, { transport: T }>

/** One entry a transport of the config: a new one is a compile error until it has its line here. */
const LINES: { readonly [T in DeviceConfig['transport']]: (device: DeviceOf<T>) => Line } = {
  'modbus-tcp': (device) => polled(createModbusTransport(device), `${device.host}:${device.port}`),
  'modbus-rtu': (device) => polled(createModbusTransport(device), device.path),
  'modbus-rtu-over-tcp': (device) => polled(createModbusTransport(device), `${device.host}:${device.port}`),
  iio: (device) => {
    const transport = new IioTransport(device)
    return { kind: 'polled', transport, where: () => transport.where() }
  },
  replay: (device) => ({
    kind: 'played',
    recording: new CsvRecording(device.file),
    speed: device.speed,
    repeat: device.repeat,
    where: () => device.file,
  }),
}

/** The line of one device. Never throws; nothing is opened before the first read. */
export function openLine(device: DeviceConfig): Line {
  const open = LINES[device.transport] as (device: DeviceConfig) => Line
  return open(device)
}

function polled(transport: ReturnType<typeof createModbusTransport>, place: string): Line {
  return { kind: 'polled', transport, where: () => place }
}
