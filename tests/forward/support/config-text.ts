/** A config with one cell and a broker; `anonymous` leaves plant and line out. */
export function configText(mqtt: string, place = ''): string {
  return `version: 1
${place === 'anonymous' ? '' : 'plant: Papiermühle Süd\nline: Line 1'}
devices: [{ id: amplifier, transport: modbus-tcp, host: 127.0.0.1 }]
channels:
  - id: cell
    device: amplifier
    register: { function: 4, address: 0 }
    electrical: { unit: mA, counts: [0, 20000], reads: [0, 20] }
    force: { zero: 4, gain: 31.25, capacity: 500 }
zones: [{ id: infeed, cells: { single: cell } }]
forward:
  mqtt: { ${mqtt} }
`
}
