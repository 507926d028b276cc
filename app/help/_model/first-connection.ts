/**
 * The least that shows a pair of cells: what README and the page Connect an amplifier tell, the same text (a test holds
 * them together). It fits the stand-in amplifier of both.
 */
export const FIRST_CONNECTION = `version: 1
devices:
  - id: amplifier
    transport: modbus-tcp
    host: 127.0.0.1
    port: 1502
    rate_hz: 20
channels:
  - id: drive-cell
    device: amplifier
    register: { unit_id: 1, function: 4, address: 0, type: int16 }
    electrical: { unit: mA, counts: [0, 20000], reads: [0, 20] }
    force: { unit: N, zero: 4, gain: 31.25, capacity: 500 }
    quality: { stuck_after_s: 0 }
  - id: operator-cell
    device: amplifier
    register: { unit_id: 1, function: 4, address: 1, type: int16 }
    electrical: { unit: mA, counts: [0, 20000], reads: [0, 20] }
    force: { unit: N, zero: 4, gain: 31.25, capacity: 500 }
    quality: { stuck_after_s: 0 }
zones:
  - id: infeed
    cells: { drive_side: drive-cell, operator_side: operator-cell }
    cell_distance_m: 1.6
`

/** What a zone gets so that it is held to the site's own limits; goes on where FIRST_CONNECTION ends. */
export const OWN_LIMITS = `    limits:
      side_difference_percent: 5
      noise_percent: { value: 0.8, source: "sheet 4 of the line’s file" }
    alarms:
      side_difference: { priority: high, on_delay_s: 5 }
`

/** What a config gets so that a broker of the plant hears of it. */
export const SENDING_ON = `plant: Example mill
line: Line 1
forward:
  mqtt:
    url: mqtts://broker.example:8883  # mqtt:// without TLS
    username: line-1
    password_file: mqtt-password      # beside this file; holds the password and nothing else
    topic: mill/line-1                # as it comes evenpull/PLANT-LINE in a–z, 0–9 and -
    every_s: 10
    tls: { ca: plant-ca.pem }         # where the machine does not trust the authority anyway
`
