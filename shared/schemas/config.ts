import { z } from 'zod'
import { PRIORITIES, type Priority } from '../alarms.ts'
import { zoneGeometry } from './geometry.ts'

/**
 * The one config file: devices → channels → zones → limits.
 *
 * Units stand in the keys (`cell_distance_m`) or beside the number (`unit: N`). Defaults that are
 * common practice without a source are marked CP. References between the parts and rules that
 * need more than one key are checked in gateway/config, where line and column are known.
 */
const id = z
  .string()
  .regex(/^[a-z0-9][a-z0-9_-]{0,47}$/, 'use 1 to 48 of a–z, 0–9, - and _, starting with a letter or digit')
const positive = z.number().positive()
const pair = z.tuple([z.number(), z.number()])
const port = z.int().min(1).max(65535)

// --- devices ---------------------------------------------------------------

const deviceBase = {
  id,
  name: z.string().min(1).max(80).optional().describe('What people call it; the id when absent'),
  rate_hz: positive.max(1000).default(10).describe('Polls per second of every request of this device'),
}
const modbusBase = {
  ...deviceBase,
  timeout_ms: z.int().min(5).max(10_000).default(250).describe('Longest wait for one answer'),
  merge_gap: z.int().min(0).max(120).default(4).describe('Registers read and thrown away to merge two neighbours'),
  merge_max: z.int().min(1).max(125).default(100).describe('Most registers in one request'),
}

export const modbusTcpDevice = z.strictObject({
  ...modbusBase,
  transport: z.literal('modbus-tcp'),
  host: z.string().min(1),
  port: port.default(502),
})
export const modbusRtuOverTcpDevice = z.strictObject({
  ...modbusBase,
  transport: z.literal('modbus-rtu-over-tcp'),
  host: z.string().min(1),
  port,
})
export const modbusRtuDevice = z.strictObject({
  ...modbusBase,
  transport: z.literal('modbus-rtu'),
  path: z.string().min(1).describe('Serial device, for example /dev/ttyUSB0'),
  baud: z.int().min(300).max(921_600).default(19_200),
  parity: z.enum(['none', 'even', 'odd']).default('even'),
  data_bits: z.literal([7, 8]).default(8),
  stop_bits: z.literal([1, 2]).default(1),
})
export const iioDevice = z.strictObject({
  ...deviceBase,
  transport: z.literal('iio'),
  root: z.string().min(1).default('/sys/bus/iio/devices'),
  device: z.string().min(1).describe('Folder under the root, for example iio:device0'),
})
export const replayDevice = z.strictObject({
  ...deviceBase,
  transport: z.literal('replay'),
  file: z.string().min(1).describe('CSV file, relative to the config file'),
  speed: z
    .union([z.number().min(1), z.literal('max')])
    .default(1)
    .describe('1 is as recorded, 10 ten times as fast, max as fast as it goes; times keep their recorded spacing'),
  repeat: z.boolean().default(false),
})
export const device = z.discriminatedUnion('transport', [
  modbusTcpDevice,
  modbusRtuDevice,
  modbusRtuOverTcpDevice,
  iioDevice,
  replayDevice,
])

// --- channels --------------------------------------------------------------

export const REGISTER_TYPES = ['int16', 'uint16', 'int32', 'uint32', 'float32'] as const
export const REGISTER_ORDERS = ['ABCD', 'CDAB', 'BADC', 'DCBA'] as const

export const register = z.strictObject({
  unit_id: z.int().min(0).max(255).default(1),
  function: z.literal([3, 4]).default(4).describe('3 holding registers, 4 input registers'),
  address: z
    .union([z.int().min(0).max(65_535), z.string().regex(/^[34]\d{4,5}$/)])
    .describe('0-based offset as a number; "30001" or "40001" in quotes is read as that notation and echoed back'),
  type: z.enum(REGISTER_TYPES).default('int16'),
  order: z
    .enum(REGISTER_ORDERS)
    .default('ABCD')
    .describe(
      'ABCD big-endian, CDAB words swapped, BADC bytes swapped, DCBA both; a 16-bit type swaps its bytes on BADC and DCBA',
    ),
})

export const electrical = z
  .strictObject({
    unit: z.enum(['mA', 'V', 'mV/V']),
    counts: pair.default([0, 1]).describe('Two raw values …'),
    reads: pair.default([0, 1]).describe('… and what they stand for, in the unit'),
  })
  .refine((e) => e.counts[0] !== e.counts[1], { path: ['counts'], message: 'the two raw values must differ' })

export const forceScale = z.strictObject({
  unit: z.enum(['N', 'kN', 'lbf', 'kgf']).default('N'),
  zero: z.number().default(0).describe('Reading with the bare roller, in the electrical unit (raw units without one)'),
  gain: z
    .number()
    .refine((g) => g !== 0, 'a gain of 0 would hide every force')
    .describe('Force per electrical unit; negative only where the cell is meant to read pull as push'),
  capacity: positive.describe('Rated capacity of the cell, in the force unit'),
  u_gain_percent: z
    .number()
    .min(0)
    .optional()
    .describe('Standard uncertainty of the gain; without it 0.5 is assumed (CP) and marked so'),
  u_zero_percent: z
    .number()
    .min(0)
    .optional()
    .describe('Standard uncertainty of the zero, % of capacity; without it 0.1 is assumed (CP) and marked so'),
})

export const valueScale = z
  .strictObject({
    counts: pair.default([0, 1]),
    reads: pair.default([0, 1]),
    unit: z.enum(['N', 'kN', 'lbf', 'kgf', 'm/s', 'm/min', 'ft/min', '1/s', 'rpm', '°C', '°F', 'm', 'mm', 'in', 'ft']),
    u_percent: z
      .number()
      .min(0)
      .optional()
      .describe('Standard uncertainty, % of the value; without it and without u, 0.5 is assumed (CP) and marked so'),
    u: z
      .number()
      .min(0)
      .optional()
      .describe(
        'Standard uncertainty that stays when the value is 0, in the unit; without it one step of the counts over √12',
      ),
  })
  .refine((e) => e.counts[0] !== e.counts[1], { path: ['counts'], message: 'the two raw values must differ' })

export const qualityRules = z.strictObject({
  signal: z
    .enum(['4-20mA', 'none'])
    .optional()
    .describe('4-20mA applies NAMUR NE 43; default 4-20mA for a cell in mA, else none'),
  range: pair
    .optional()
    .describe('Lowest and highest believable value in the electrical unit (raw units without one); outside is bad'),
  range_uncertain: pair.optional().describe('Narrower range; outside it, inside range, is uncertain'),
  stuck_after_s: z
    .number()
    .min(0)
    .default(10)
    .describe('Identical raw values for this long are frozen; 0 turns it off (CP default; off for other than cells)'),
  stale_after_s: positive
    .max(60)
    .optional()
    .describe('Oldest age of a live sample; default 3 poll periods, at least 0.5 s'),
})

export const CHANNEL_KINDS = ['force', 'speed', 'roller_speed', 'tension', 'temperature', 'length'] as const

export const channel = z.strictObject({
  id,
  name: z.string().min(1).max(80).optional(),
  device: id,
  measures: z.enum(CHANNEL_KINDS).default('force'),
  register: register.optional().describe('Where a Modbus device keeps it'),
  iio_channel: z
    .string()
    .regex(/^(voltage|current)\d+(-(voltage|current)\d+)?$/)
    .optional()
    .describe('voltage0, current1, voltage0-voltage1 …'),
  column: z.string().min(1).optional().describe('Column of a replayed CSV'),
  electrical: electrical.optional(),
  force: forceScale.optional().describe('For a load cell'),
  scale: valueScale.optional().describe('For everything else'),
  quality: qualityRules.prefault({}),
})

// --- zones -----------------------------------------------------------------

/** A limit in its unit, with where it came from. A bare number is the site's own. */
function limit(defaultValue: number, source: string) {
  return z
    .union([
      positive.transform((value) => ({ value, source: 'set in the config' })),
      z.strictObject({ value: positive, source: z.string().min(1) }),
    ])
    .default({ value: defaultValue, source })
}
const CP = 'common practice, no source'

export const limits = z.strictObject({
  side_difference_percent: limit(10, CP).describe('|operator side − drive side| as % of their sum, running'),
  noise_percent: limit(1, CP).describe('1 σ of each side after slow motion is removed, % of its mean'),
  drift_percent_per_hour: limit(0.3, CP).describe('Half the agreement limit spread over an 8 h shift'),
})

/** What an install is proven by; see lib/verification. Handbook habits of the trade where nothing else is known. */
export const verification = z.strictObject({
  arrow_deg: limit(2, CP).describe('Each load arrow against its target'),
  arrow_difference_deg: limit(2, CP).describe('Both load arrows against each other'),
  clearance_least_mm: limit(1.5, CP).describe('End clearance of each side, cold'),
  clearance_most_mm: limit(3, CP),
  level_mm_per_m: limit(0.2, CP).describe('Roller out of level, and out of parallel with its neighbour'),
  runout_mm: limit(0.05, CP).describe('Runout of the shell by dial'),
  bridge_percent: limit(1, CP).describe('Bridge resistance against the certificate'),
  insulation_megohm: limit(1000, CP).describe('Bridge to body and shield, at no more than the maker allows'),
  excitation_percent: limit(1, CP).describe('Excitation at the cell against what the amplifier is set to'),
  shunt_percent: limit(0.5, CP).describe('Step of a shunt or bridge simulator against what it should read'),
  static_noise_percent: limit(0.2, CP).describe('1 σ with the machine stopped, % of span'),
  static_slope_percent_per_min: limit(0.1, CP).describe('Slope with the machine stopped, % of span a minute'),
  drive_noise_ratio: limit(2, CP).describe('Noise with the drive enabled over noise without'),
  weight_percent: limit(1, CP).describe('Bare roller against its predicted weight component, % of span'),
  zero_balance_percent: limit(2, CP).describe('Unloaded cell against its certificate, % of rated output'),
  known_weight_percent: limit(2, CP).describe('Gain by known weight'),
  known_weight_difference_percent: limit(5, CP).describe('Side difference under a centred known weight'),
  nonlinearity_percent: limit(0.5, CP).describe('% of span'),
  hysteresis_percent: limit(0.5, CP).describe('% of span'),
  repeatability_percent: limit(0.3, CP).describe('% of span'),
  zero_return_percent: limit(0.2, CP).describe('% of span'),
  agreement_percent: limit(5, CP).describe('Measured less expected, % of expected; at least 1 % of span'),
  sum_change_percent: limit(0.5, CP).describe('Sum of both sides when a weight moves across the roller'),
  difference_slope_percent: limit(2, CP).describe('Movement of the difference against 2F/L'),
  together_percent: limit(10, CP).describe('Response of both sides to one tension step, over one another'),
  delay_ms: limit(50, CP).describe('One side behind the other'),
  resolution_percent: limit(0.1, CP).describe('One step of the reading, % of span'),
  once_per_turn_percent: limit(1, CP).describe('Line of one turn of the measuring roller, % of its force'),
  turn_rate_percent: limit(2, CP).describe('Turn rate of the measuring roller against v/(πD)'),
  zero_with_temperature_percent_per_k: limit(0.05, CP).describe('Zero between two temperatures, % of span a kelvin'),
  core_to_full_percent: limit(5, CP).describe('Agreement near full roll against near core'),
})

// --- alarms ----------------------------------------------------------------

interface AlarmDefaults {
  readonly priority: Priority
  readonly on_delay_s: number
  readonly off_delay_s: number
  readonly latched?: boolean
}
const seconds = z.number().min(0).max(3600)

/** How one alarm behaves; every default is common practice without a source. */
function alarm(defaults: AlarmDefaults, looksAt: string) {
  return z
    .strictObject({
      enabled: z.boolean().default(true).describe('false: off, and every page says so'),
      priority: z.enum(PRIORITIES).default(defaults.priority),
      on_delay_s: seconds.default(defaults.on_delay_s).describe('Outside for this long announces it (CP)'),
      off_delay_s: seconds.default(defaults.off_delay_s).describe('Inside for this long ends it (CP)'),
      unknown_after_s: positive
        .max(3600)
        .default(10)
        .describe('Without data for this long it is unknown; never normal by silence (CP)'),
      deadband_percent: z
        .number()
        .min(0)
        .max(50)
        .default(10)
        .describe('How far from its limit, in % of it, a value must be to count as inside again (CP)'),
      latched: z
        .boolean()
        .default(defaults.latched ?? false)
        .describe('true: ends only by an acknowledgement made after its condition has returned'),
    })
    .prefault({})
    .describe(looksAt)
}

export const zoneAlarms = z.strictObject({
  agreement: alarm(
    { priority: 'medium', on_delay_s: 10, off_delay_s: 10 },
    'Measured against expected web tension outside its limit; undecided never alarms',
  ),
  side_difference: alarm({ priority: 'medium', on_delay_s: 10, off_delay_s: 10 }, 'Side difference outside its limit'),
  noise: alarm({ priority: 'low', on_delay_s: 10, off_delay_s: 30 }, 'Noise of a side outside its limit'),
  drift: alarm(
    { priority: 'low', on_delay_s: 60, off_delay_s: 60 },
    'Drift of the side difference, or of measured less expected, outside its limit',
  ),
  side_lost: alarm({ priority: 'high', on_delay_s: 2, off_delay_s: 5 }, 'A side without good data'),
  over_capacity: alarm(
    { priority: 'high', on_delay_s: 0, off_delay_s: 5, latched: true },
    'More force than a cell is rated for; its zero may have moved for good, so it is latched',
  ),
})

export const webhook = z.strictObject({
  url: z
    .url({ protocol: /^https?$/ })
    .refine((url) => isWithoutPassword(url), 'no name and password in the address: no request can be made with them')
    .describe('http or https: gets a POST of JSON for every transition of an alarm'),
  timeout_s: positive.max(60).default(5).describe('Longest wait for one answer'),
})

function isWithoutPassword(url: string): boolean {
  if (!URL.canParse(url)) return true // said already
  const { username, password } = new URL(url)
  return username === '' && password === ''
}

export const gatewayAlarms = z.strictObject({
  device_lost: alarm({ priority: 'high', on_delay_s: 3, off_delay_s: 5 }, 'A device that does not answer, or in part'),
  recording_degraded: alarm({ priority: 'medium', on_delay_s: 0, off_delay_s: 5 }, 'Recording keeps roll-ups only'),
  recording_stopped: alarm({ priority: 'high', on_delay_s: 0, off_delay_s: 5 }, 'Recording has stopped'),
  disk_low: alarm({ priority: 'medium', on_delay_s: 0, off_delay_s: 60 }, 'Little free space where data are kept'),
  disk_low_below_gb: positive.default(1).describe('Free space under this is little (CP)'),
  longest_shelving_h: positive.max(72).default(8).describe('An alarm is shelved no longer; one shift (CP)'),
  operator_positions: z.int().min(1).max(50).default(1).describe('Among how many people the alarms are shared out'),
  webhook: webhook.optional(),
})

// --- what is sent on -------------------------------------------------------

export const mqttForward = z.strictObject({
  url: z
    .url({ protocol: /^mqtts?$/, error: 'expected mqtt://HOST:PORT, or mqtts://HOST:PORT for TLS' })
    .refine((url) => isPlainAddress(url), 'give scheme, host and port alone: mqtt://broker:1883 or mqtts://broker:8883')
    .describe('mqtt:// or mqtts:// (TLS), host and port of an MQTT 5 broker; 1883 and 8883 when no port is given'),
  username: z.string().min(1).max(200).optional(),
  password_file: z
    .string()
    .min(1)
    .optional()
    .describe('File that holds the password and nothing else, relative to the config file; read at every connection'),
  topic: z
    .string()
    .regex(/^[^#+\s/$][^#+\s/]*(\/[^#+\s/]+)*$/, 'no #, + or space, no empty level, no $ in front')
    .max(200)
    .optional()
    .describe('What every topic begins with; default evenpull/PLANT-LINE in a–z, 0–9 and -'),
  every_s: positive.min(1).max(3600).default(10).describe('Figures of every zone are sent this often'),
  tls: z
    .strictObject({
      ca: z.string().min(1).describe('PEM file of the authority that signed the broker’s certificate'),
    })
    .optional()
    .describe('For mqtts, where the authority is not one the machine trusts anyway'),
})

/** Credentials in an address would stand in the config, in logs and on pages. */
function isPlainAddress(url: string): boolean {
  if (!/^mqtts?:/.test(url) || !URL.canParse(url)) return true // said already
  const { username, password, pathname, search, hash } = new URL(url)
  return [username, password, search, hash].every((part) => part === '') && (pathname === '' || pathname === '/')
}

export const forward = z.strictObject({
  mqtt: mqttForward.optional().describe('Absent: nothing is sent. What waits for the broker: recorder.keep.outbox'),
})

// --- zones, put together ---------------------------------------------------

export const cells = z.union([z.strictObject({ drive_side: id, operator_side: id }), z.strictObject({ single: id })])

const forceFactorValue = z.number().refine((k) => k !== 0, 'a force factor of 0 sees no web tension')

export const zone = z.strictObject({
  id,
  name: z.string().min(1).max(80).optional(),
  cells: cells.describe('drive_side and operator_side, or single for a cantilever roller'),
  speed: id.optional(),
  roller_speed: id.optional(),
  reference: id.optional().describe('Channel that tells the set tension'),
  temperature: id.optional(),
  neighbour: id.optional().describe('Channel that tells the diameter of a winding roll beside the measuring roller'),
  cell_distance_m: positive.max(20).optional().describe('Between the two cells; needed for the line of pull'),
  web_width_m: positive.max(20).optional(),
  natural_frequency_hz: positive
    .max(1000)
    .optional()
    .describe(
      'Of the measuring roller on its cells, where it is known: a line of the spectrum is then offered with it',
    ),
  web_offset_m: z
    .number()
    .default(0)
    .describe('Where the web runs: its centre from mid-span, towards the operator side'),
  force_factor: z
    .union([forceFactorValue, z.strictObject({ drive_side: forceFactorValue, operator_side: forceFactorValue })])
    .optional()
    .describe(
      'Newtons along the arrows per newton of web tension; without it the forces along the arrows are shown. Not used where geometry tells it',
    ),
  u_force_factor_percent: z
    .number()
    .min(0)
    .optional()
    .describe('Standard uncertainty of the force factor; without it 1 is assumed (CP) and marked so'),
  geometry: zoneGeometry
    .optional()
    .describe('Web path, arrows, weights: what the signals should be; its force factor goes before force_factor'),
  average_s: positive.min(1).max(600).default(30).describe('Window of tension, side difference and noise'),
  noise_block_s: positive
    .min(0.1)
    .max(60)
    .default(2)
    .describe('Motion slower than this is removed before noise is taken'),
  drift_s: positive.min(30).max(86_400).default(1800).describe('Longest window of the drift rate'),
  slack_below_n: z
    .number()
    .min(0)
    .optional()
    .describe('Total under this is a slack web: side difference and noise say so; default 2 % of capacity (CP)'),
  steady: z
    .strictObject({
      speed_percent: positive
        .default(1)
        .describe('Largest change of speed in a window that still counts as steady (CP)'),
      reference_percent: positive.default(2).describe('The same for the reference (CP)'),
    })
    .prefault({}),
  limits: limits.prefault({}),
  verification: verification.prefault({}).describe('Limits of the tests that prove an install'),
  alarms: zoneAlarms.prefault({}),
})

// --- what is kept ------------------------------------------------------------

/** Older goes first, then the oldest while there is more than that. */
const kept = (days: number, mb: number) =>
  z.strictObject({ days: positive.default(days), mb: positive.default(mb) }).prefault({})

export const keep = z.strictObject({
  samples: kept(60, 20_000).describe('Every sample at full rate (CP)'),
  roll_ups: kept(1100, 4000).describe('Figures of 10 s, 1 min, 10 min and 1 h (CP)'),
  minutes: kept(1100, 2000).describe('Minutes of each zone, which drift and shift summaries rest on (CP)'),
  events: kept(3650, 500).describe('The trail (CP)'),
  outbox: kept(30, 500).describe('What waits to be forwarded (CP)'),
})

export const recorder = z.strictObject({
  enabled: z.boolean().default(true).describe('false: nothing is kept, live viewing goes on'),
  folder: z
    .string()
    .min(1)
    .default('.evenpull')
    .describe('Where the store is, relative to the config file; made when it is not there'),
  min_free_mb: positive
    .default(500)
    .describe('With less space free on its disk only roll-ups are written, not every sample (CP)'),
  keep: keep.prefault({}).describe('For how long, and how much at most, in days and MB of each kind'),
})

// --- the file --------------------------------------------------------------

export const configSchema = z.strictObject({
  version: z.literal(1).describe('Version of this file format'),
  plant: z.string().min(1).max(80).optional(),
  line: z.string().min(1).max(80).optional(),
  gateway: z
    .strictObject({
      host: z.string().min(1).default('127.0.0.1').describe('Address to bind; anything but loopback needs users'),
      names: z
        .array(z.string().regex(/^[A-Za-z0-9]([A-Za-z0-9.-]{0,251}[A-Za-z0-9])?$/, 'a host name, without port'))
        .max(20)
        .optional()
        .describe('Further names that people type to reach it; a request under any other name is refused'),
      port: z.int().min(0).max(65_535).default(8420).describe('0 takes a free port and prints it'),
      tls: z
        .strictObject({ cert: z.string().min(1), key: z.string().min(1) })
        .optional()
        .describe('PEM files, relative to the config: the gateway then speaks HTTPS alone; read at the start'),
      session: z
        .strictObject({
          idle_minutes: positive
            .max(60 * 24 * 30)
            .default(480)
            .describe('A log-in ends after this long without a request; a shift (CP); read at the start'),
          longest_hours: positive
            .max(24 * 365)
            .default(168)
            .describe('… and after this long in any case (CP)'),
        })
        .prefault({}),
    })
    .prefault({}),
  recorder: recorder.prefault({}).describe('What is kept, where, and for how long'),
  devices: z.array(device).min(1).max(64),
  channels: z.array(channel).min(1).max(512),
  zones: z.array(zone).min(1).max(64),
  forward: forward.prefault({}).describe('Where figures, verdicts, alarms and events are sent on to'),
  alarms: gatewayAlarms.prefault({}).describe('Alarms of the gateway itself; those of a zone stand in the zone'),
})

/** The file as written, before defaults. */
export type ConfigInput = z.input<typeof configSchema>
/** The file with every default filled in. */
export type Config = z.output<typeof configSchema>
export type DeviceConfig = z.output<typeof device>
export type ModbusDeviceConfig = Extract<DeviceConfig, { transport: `modbus-${string}` }>
export type ChannelConfig = z.output<typeof channel>
export type RegisterConfig = z.output<typeof register>
export type ElectricalScale = z.output<typeof electrical>
export type ForceScale = z.output<typeof forceScale>
export type ValueScale = z.output<typeof valueScale>
export type QualityRules = z.output<typeof qualityRules>
export type ZoneConfig = z.output<typeof zone>
export type AlarmConfig = z.output<typeof zoneAlarms>['agreement']
export type ForwardConfig = z.output<typeof forward>
export type WebhookConfig = z.output<typeof webhook>
export type Limit = { readonly value: number; readonly source: string }
export type RegisterType = (typeof REGISTER_TYPES)[number]
export type RegisterOrder = (typeof REGISTER_ORDERS)[number]
