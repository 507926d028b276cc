import { describe, expect, test } from 'vitest'
import { edited, errorsOf, TWO_SIDES } from './support.ts'

type Case = readonly [title: string, edits: readonly (readonly [from: string, to: string])[], errors: readonly string[]]

const SECOND_LINE = `  - { id: other, transport: modbus-rtu, path: /dev/ttyUSB0 }
  - { id: again, transport: modbus-rtu, path: /dev/ttyUSB0 }
`

const REFERENCES: readonly Case[] = [
  [
    'a channel of no device',
    [['device: amp', 'device: am']],
    ['17:13 EVP_CONFIG_REFERENCE channel unwind-ds: there is no device am; did you mean amp?'],
  ],
  [
    'a side of no channel',
    [['operator_side: unwind-os', 'operator_side: unwind-so']],
    ['36:52 EVP_CONFIG_REFERENCE zone unwind: operator_side: there is no channel unwind-so; did you mean unwind-os?'],
  ],
  [
    'a speed that is a cell',
    [['speed: speed', 'speed: unwind-ds']],
    [
      '37:12 EVP_CONFIG_REFERENCE zone unwind: speed: channel unwind-ds measures force, expected one that measures speed; channels that do: speed',
    ],
  ],
  [
    'a cell that is a speed',
    [['drive_side: unwind-ds', 'drive_side: speed']],
    [
      '36:26 EVP_CONFIG_REFERENCE zone unwind: drive_side: channel speed measures speed, expected one that measures force',
    ],
  ],
  [
    'a channel id given twice',
    [['id: unwind-os', 'id: unwind-ds']],
    [
      '21:9 EVP_CONFIG_INVALID the id unwind-ds is taken by channels[0]',
      '36:52 EVP_CONFIG_REFERENCE zone unwind: operator_side: there is no channel unwind-os',
    ],
  ],
]

const PLACES: readonly Case[] = [
  [
    'an IIO channel on a Modbus device',
    [['register: { address: 0, function: 4, type: float32, order: CDAB }', 'iio_channel: voltage0']],
    [
      '15:5 EVP_CONFIG_INVALID channel unwind-ds: register is missing; device amp is modbus-tcp',
      '18:5 EVP_CONFIG_INVALID channel unwind-ds: iio_channel does not fit, device amp is modbus-tcp; its channels have register',
    ],
  ],
  [
    'two places on one channel',
    [['    register: { address: 2', '    column: b\n    register: { address: 2']],
    ['24:5 EVP_CONFIG_INVALID channel unwind-os: column does not fit'],
  ],
  [
    '40001 notation against function 4, with how it was read',
    [['address: 2', 'address: "40003"']],
    [
      '24:26 EVP_CONFIG_INVALID channel unwind-os: address "40003" is read as holding register, offset 2, function 3, but function is 4 (input): write function: 3 or leave it out, or "30003" for the input register',
    ],
  ],
  [
    'register 30000, which is before the first',
    [['"30005"', '"30000"']],
    ['30:26 EVP_CONFIG_INVALID channel speed: register "30000" is outside 1 to 65536'],
  ],
  [
    'notation that is none',
    [['"30005"', '"50005"']],
    ['30:26 EVP_CONFIG_INVALID channel speed: register.address: expected 0-based offset as a number'],
  ],
  [
    'a 32-bit value that ends past the last register',
    [['address: 2', 'address: 65535']],
    ['24:26 EVP_CONFIG_INVALID channel unwind-os: a float32 at offset 65535 would end past the last register'],
  ],
  [
    'unit 0 on a serial line, which is the broadcast',
    [
      ['modbus-tcp', 'modbus-rtu-over-tcp'],
      ['address: 2', 'unit_id: 0, address: 2'],
    ],
    ['24:26 EVP_CONFIG_INVALID channel unwind-os: unit_id 0 is the broadcast of a serial line'],
  ],
  [
    '7 data bits, which are not RTU',
    [['devices:\n', 'devices:\n  - { id: other, transport: modbus-rtu, path: /dev/ttyS0, data_bits: 7 }\n']],
    ['7:70 EVP_CONFIG_INVALID device other: data_bits: Modbus RTU sends 8 data bits'],
  ],
  [
    'two masters on one line',
    [['devices:\n', `devices:\n${SECOND_LINE}`]],
    ['8:47 EVP_CONFIG_INVALID device again: /dev/ttyUSB0 is already the line of device other; a line has one master'],
  ],
]

const SCALES: readonly Case[] = [
  [
    'a load cell without force',
    [['    force: { unit: N, zero: 0.042, gain: 500, capacity: 1000 }\n', '']],
    ['15:5 EVP_CONFIG_INVALID channel unwind-ds: force is missing; it measures force'],
  ],
  [
    'a speed with force instead of scale',
    [['scale: { counts: [0, 10000], reads: [0, 600], unit: m/min }', 'force: { gain: 1, capacity: 1 }']],
    [
      '27:5 EVP_CONFIG_INVALID channel speed: scale is missing',
      '31:5 EVP_CONFIG_INVALID channel speed: it measures speed, so it has scale, not force',
    ],
  ],
  [
    'a speed in turns',
    [['unit: m/min', 'unit: rpm']],
    ['31:57 EVP_CONFIG_INVALID channel speed: scale.unit: speed is in m/s, m/min or ft/min, got rpm'],
  ],
  [
    'a scale that reads one value always',
    [['reads: [0, 600]', 'reads: [600, 600]']],
    ['31:41 EVP_CONFIG_INVALID channel speed: scale.reads: the two readings must differ'],
  ],
  [
    'NE 43 on a signal that is no current',
    [['    electrical: { unit: mV/V }\n', '    electrical: { unit: mV/V }\n    quality: { signal: 4-20mA }\n']],
    [
      '20:24 EVP_CONFIG_INVALID channel unwind-ds: quality.signal: 4-20mA needs electrical.unit mA, and this channel has electrical.unit mV/V',
    ],
  ],
  [
    'a range with its ends swapped',
    [['    electrical: { unit: mV/V }\n', '    electrical: { unit: mV/V }\n    quality: { range: [3, -3] }\n']],
    ['20:23 EVP_CONFIG_INVALID channel unwind-ds: quality.range: expected the lower value first, got 3 and -3'],
  ],
  [
    'an uncertain range outside the range',
    [
      [
        '    electrical: { unit: mV/V }\n',
        '    electrical: { unit: mV/V }\n    quality: { range: [-1, 1], range_uncertain: [-2, 1] }\n',
      ],
    ],
    [
      '20:49 EVP_CONFIG_INVALID channel unwind-ds: quality.range_uncertain: must lie inside range (-1 to 1), got -2 to 1',
    ],
  ],
  [
    'an age that every sample exceeds',
    [
      ['rate_hz: 100', 'rate_hz: 1'],
      ['    electrical: { unit: mV/V }\n', '    electrical: { unit: mV/V }\n    quality: { stale_after_s: 0.5 }\n'],
    ],
    ['20:31 EVP_CONFIG_INVALID channel unwind-ds: quality.stale_after_s: 0.5 s is shorter than one poll of its device'],
  ],
]

const ZONES: readonly Case[] = [
  [
    'one cell on both sides',
    [['operator_side: unwind-os', 'operator_side: unwind-ds']],
    ['36:52 EVP_CONFIG_INVALID zone unwind: both sides are channel unwind-ds'],
  ],
  [
    'two channels that read the same register',
    [['address: 2', 'address: 0']],
    [
      '36:52 EVP_CONFIG_INVALID zone unwind: channels unwind-ds and unwind-os both read register offset 0 of device amp',
    ],
  ],
  [
    'two channels whose registers overlap by one',
    [['address: 2', 'address: 1']],
    ['both read register offset 1 of device amp'],
  ],
  [
    'sides in two force units',
    [['unit: N, zero: -0.031', 'unit: kgf, zero: -0.031']],
    [
      '36:12 EVP_CONFIG_INVALID zone unwind: the two sides have different force units: unwind-ds is in N, unwind-os in kgf',
    ],
  ],
  [
    'sides of one device in two electrical units',
    [['electrical: { unit: mV/V }', 'electrical: { unit: mA }']],
    ['36:12 EVP_CONFIG_INVALID zone unwind: the two sides have different electrical units on one device'],
  ],
  [
    'a force factor a side for a single cell',
    [
      ['{ drive_side: unwind-ds, operator_side: unwind-os }', '{ single: unwind-ds }'],
      ['    cell_distance_m: 1.6\n', ''],
      ['force_factor: 1.2', 'force_factor: { drive_side: 1, operator_side: 1 }'],
    ],
    ['zone unwind: force_factor: a zone with a single cell has one number'],
  ],
  [
    'a cell distance for a single cell',
    [['{ drive_side: unwind-ds, operator_side: unwind-os }', '{ single: unwind-ds }']],
    ['38:5 EVP_CONFIG_INVALID zone unwind: a single cell has no distance to another'],
  ],
  [
    'a web that runs beyond the cells',
    [['web_width_m: 1.2', 'web_offset_m: -0.9']],
    ['39:19 EVP_CONFIG_INVALID zone unwind: web_offset_m: -0.9 from mid-span is beyond the cells'],
  ],
]

describe.each([
  ['references', REFERENCES],
  ['places', PLACES],
  ['scales', SCALES],
  ['zones', ZONES],
])('%s are refused:', (_group, cases) => {
  test.each(cases)('%s', (_title, edits, expected) => {
    const errors = errorsOf(edits.reduce((text, [from, to]) => edited(from, to, text), TWO_SIDES))
    expect(errors).toHaveLength(expected.length)
    for (const [i, part] of expected.entries()) expect(errors[i]).toContain(part)
  })
})
