/** The least a config needs for one measuring roller with two cells on one amplifier. */
export const SMALLEST_CONFIG = `version: 1
devices:
  - id: amplifier
    transport: modbus-tcp
    host: 192.0.2.10            # address of the amplifier
    rate_hz: 50
channels:
  - id: cell-ds
    device: amplifier
    register: { function: 4, address: 0, type: int16 }
    electrical: { unit: mA, counts: [0, 20000], reads: [0, 20] }
    force: { unit: N, zero: 4, gain: 62.5, capacity: 1000 }
  - id: cell-os
    device: amplifier
    register: { function: 4, address: 1, type: int16 }
    electrical: { unit: mA, counts: [0, 20000], reads: [0, 20] }
    force: { unit: N, zero: 4, gain: 62.5, capacity: 1000 }
zones:
  - id: roller
    cells: { drive_side: cell-ds, operator_side: cell-os }
`
