import type { ConfigInput } from '../../../shared/schemas/config.ts'

type DeviceInput = ConfigInput['devices'][number]

/** Two 4–20 mA cells of 500 N as int16 at registers 0 and 1 (20000 counts are 20 mA): 12 mA is 250 N. */
export function twoCells(device: DeviceInput, unitId = 1): ConfigInput {
  const cell = (id: string, address: number) => ({
    id,
    device: device.id,
    register: { unit_id: unitId, function: 4 as const, address, type: 'int16' as const },
    electrical: { unit: 'mA' as const, counts: [0, 20_000] as [number, number], reads: [0, 20] as [number, number] },
    force: { zero: 4, gain: 31.25, capacity: 500 },
    // A register of a test server stands still.
    quality: { stuck_after_s: 0 },
  })
  return {
    version: 1,
    plant: 'Example plant',
    line: 'Line 1',
    devices: [device],
    channels: [cell('ds', 0), cell('os', 1)],
    zones: [
      {
        id: 'infeed',
        name: 'Infeed',
        cells: { drive_side: 'ds', operator_side: 'os' },
        cell_distance_m: 1.6,
        web_width_m: 1.2,
      },
    ],
  }
}

export const tcpDevice = (port: number): DeviceInput => ({
  id: 'amplifier',
  name: 'Amplifier',
  transport: 'modbus-tcp',
  host: '127.0.0.1',
  port,
  rate_hz: 50,
})
