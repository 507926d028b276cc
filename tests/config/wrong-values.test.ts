import { expect, test } from 'vitest'
import { edited, errorsOf } from './support.ts'

/** Text of the valid config, what it is changed to, and every error that comes of it: place, code, message. */
const CASES: readonly (readonly [title: string, from: string, to: string, errors: readonly string[]])[] = [
  [
    'an unknown key is placed at the key and names the one that was meant',
    'rate_hz: 100',
    'rate: 100',
    ['12:5 EVP_CONFIG_INVALID device amp: there is no key "rate" here; did you mean rate_hz?'],
  ],
  [
    'an unknown key that is like no other lists the keys',
    'drive_side: unwind-ds,',
    'drive_side: unwind-ds, xyzzy: 1,',
    ['36:37 EVP_CONFIG_INVALID zone unwind: cells: there is no key "xyzzy" here; the keys here are drive_side'],
  ],
  [
    'a number with its unit is told to leave the unit to the key',
    'rate_hz: 100',
    'rate_hz: 100 Hz',
    ['12:14 EVP_CONFIG_INVALID device amp: rate_hz: expected a number, got "100 Hz"; the unit stands in the key'],
  ],
  [
    'a decimal comma is named',
    'cell_distance_m: 1.6',
    'cell_distance_m: 1,6',
    [
      '38:22 EVP_CONFIG_INVALID zone unwind: cell_distance_m: expected a number, got "1,6"; the decimal sign is a point: 1.6',
    ],
  ],
  [
    'a decimal comma among other keys is named where it parts the number',
    'gain: 500',
    'gain: 31,25',
    [
      '20:45 EVP_CONFIG_INVALID channel unwind-ds: force: there is no key "25" here; a comma ends the value before it: the decimal sign is a point',
    ],
  ],
  [
    'a rate of 0 is refused',
    'rate_hz: 100',
    'rate_hz: 0',
    ['12:14 EVP_CONFIG_INVALID device amp: rate_hz: expected more than 0, got 0'],
  ],
  [
    'a rate over the limit is refused',
    'rate_hz: 100',
    'rate_hz: 5000',
    ['12:14 EVP_CONFIG_INVALID device amp: rate_hz: expected at most 1000, got 5000'],
  ],
  [
    'an infinite number is refused',
    'gain: 500',
    'gain: .inf',
    ['20:42 EVP_CONFIG_INVALID channel unwind-ds: force.gain: expected a number, got Infinity'],
  ],
  [
    'a gain of 0 is refused',
    'gain: 500',
    'gain: 0',
    ['20:42 EVP_CONFIG_INVALID channel unwind-ds: force.gain: a gain of 0 would hide every force'],
  ],
  [
    'an unknown transport names the one that was meant',
    'modbus-tcp',
    'modbus_tcp',
    [
      '9:16 EVP_CONFIG_INVALID device amp: transport: expected modbus-tcp, modbus-rtu, modbus-rtu-over-tcp, iio or replay, got "modbus_tcp"; did you mean modbus-tcp?',
    ],
  ],
  [
    'a missing transport is placed at the device',
    '    transport: modbus-tcp\n',
    '',
    [
      '7:5 EVP_CONFIG_INVALID device amp: transport is missing (expected modbus-tcp, modbus-rtu, modbus-rtu-over-tcp, iio or replay)',
    ],
  ],
  [
    'a misspelt unit names the right one',
    'mV/V',
    'mv/v',
    [
      '19:25 EVP_CONFIG_INVALID channel unwind-ds: electrical.unit: expected mA, V or mV/V, got "mv/v"; did you mean mV/V?',
    ],
  ],
  [
    'a misspelt order that could be two names none',
    'CDAB',
    'cdba',
    ['18:64 EVP_CONFIG_INVALID channel unwind-ds: register.order: expected ABCD, CDAB, BADC or DCBA, got "cdba"'],
  ],
  [
    'a function other than 3 and 4 is refused',
    'function: 4',
    'function: 6',
    ['18:39 EVP_CONFIG_INVALID channel unwind-ds: register.function: expected 3 or 4, got 6'],
  ],
  [
    'a number where text belongs is put in quotes',
    'line: Line 2',
    'line: 2',
    ['4:7 EVP_CONFIG_INVALID line: expected text, got 2; put it in quotes: "2"'],
  ],
  [
    'another file version is refused',
    'version: 1',
    'version: 2',
    ['2:10 EVP_CONFIG_INVALID version: expected 1, got 2'],
  ],
  [
    'two raw values that are one are refused',
    'counts: [0, 10000]',
    'counts: [7, 7]',
    ['31:22 EVP_CONFIG_INVALID channel speed: scale.counts: the two raw values must differ'],
  ],
  [
    'a list that is too short is refused',
    'counts: [0, 10000]',
    'counts: [0]',
    ['31:22 EVP_CONFIG_INVALID channel speed: scale.counts: expected a list of at least 2, got a list of 1'],
  ],
  [
    'a side that is left out is named',
    'drive_side: unwind-ds, ',
    '',
    ['36:12 EVP_CONFIG_INVALID zone unwind: cells: drive_side is missing'],
  ],
  [
    'cells that say nothing are told both ways',
    '{ drive_side: unwind-ds, operator_side: unwind-os }',
    '{}',
    ['36:12 EVP_CONFIG_INVALID zone unwind: cells: expected drive_side and operator_side, or single'],
  ],
  [
    'a limit of 0 is refused',
    'force_factor: 1.2',
    'limits: { noise_percent: 0 }',
    ['40:30 EVP_CONFIG_INVALID zone unwind: limits.noise_percent: expected more than 0, got 0'],
  ],
  [
    'a limit without its source is refused',
    'force_factor: 1.2',
    'limits: { noise_percent: { value: 2 } }',
    ['40:30 EVP_CONFIG_INVALID zone unwind: limits.noise_percent: source is missing'],
  ],
  [
    'a force factor of 0 on one side is refused there',
    'force_factor: 1.2',
    'force_factor: { drive_side: 0, operator_side: 1 }',
    ['40:33 EVP_CONFIG_INVALID zone unwind: force_factor.drive_side: a force factor of 0 sees no web tension'],
  ],
  [
    'an id with capitals is refused once, not at every use',
    'id: amp',
    'id: Amp',
    ['7:9 EVP_CONFIG_INVALID device Amp: id: use 1 to 48 of a–z, 0–9, - and _'],
  ],
  [
    'a missing list is placed at the top',
    'zones:',
    'zone:',
    [
      '2:1 EVP_CONFIG_INVALID the file: zones is missing',
      '33:1 EVP_CONFIG_INVALID the file: there is no key "zone" here; did you mean zones?',
    ],
  ],
]

test.each(CASES)('%s', (_title, from, to, expected) => {
  const errors = errorsOf(edited(from, to))
  expect(errors).toHaveLength(expected.length)
  for (const [i, start] of expected.entries()) expect(errors[i]).toContain(start)
})

test('everything that is wrong is told at once, from the top of the file down', () => {
  const text = edited(
    'rate_hz: 100',
    'rate: 100',
    edited('speed: speed', 'speed: sped', edited('gain: 500', 'gain: 0')),
  )
  expect(errorsOf(text).map((error) => error.split(' ').slice(0, 2))).toEqual([
    ['12:5', 'EVP_CONFIG_INVALID'],
    ['20:42', 'EVP_CONFIG_INVALID'],
    ['37:12', 'EVP_CONFIG_REFERENCE'],
  ])
})

test.each([
  ['', 'the file: expected a mapping, got nothing'],
  ['[]', 'the file: expected a mapping, got a list of 0'],
  ['hello', 'the file: expected a mapping, got "hello"'],
])('a file that is no config at all is said to be none: %j', (text, message) => {
  expect(errorsOf(text)).toEqual([`1:1 EVP_CONFIG_INVALID ${message}`])
})

test('a value repeated by an anchor is placed where it is written', () => {
  const anchored = edited('{ unit: N, zero: 0.042, gain: 500, capacity: 1000 }', '&cell { gain: -1, capacity: -2 }')
  const text = edited('{ unit: N, zero: -0.031, gain: 500, capacity: 1000 }', '*cell', anchored)
  const errors = errorsOf(text)
  expect(errors).toHaveLength(2)
  expect(errors[0]).toContain('20:40 EVP_CONFIG_INVALID channel unwind-ds: force.capacity')
  expect(errors[1]).toContain('20:40 EVP_CONFIG_INVALID channel unwind-os: force.capacity')
})
