import { z } from 'zod'
import { PRIORITIES, type Priority } from '../../alarms.ts'
import { positive } from './parts.ts'

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
      on_delay_s: seconds.default(defaults.on_delay_s).describe('Outside for this long announces it (common practice)'),
      off_delay_s: seconds.default(defaults.off_delay_s).describe('Inside for this long ends it (common practice)'),
      unknown_after_s: positive
        .max(3600)
        .default(10)
        .describe('Without data for this long it is unknown; never normal by silence (common practice)'),
      deadband_percent: z
        .number()
        .min(0)
        .max(50)
        .default(10)
        .describe('How far from its limit, in % of it, a value must be to count as inside again (common practice)'),
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
    'Drift of the side difference, or of the agreement, outside its limit',
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
  recording_degraded: alarm(
    { priority: 'medium', on_delay_s: 0, off_delay_s: 5 },
    'Single samples are no longer recorded, only figures',
  ),
  recording_stopped: alarm({ priority: 'high', on_delay_s: 0, off_delay_s: 5 }, 'Recording has stopped'),
  disk_low: alarm({ priority: 'medium', on_delay_s: 0, off_delay_s: 60 }, 'Little free space where data are kept'),
  disk_low_below_gb: positive.default(1).describe('Free space under this is little (common practice)'),
  longest_shelving_h: positive
    .max(72)
    .default(8)
    .describe('An alarm is shelved no longer; one shift (common practice)'),
  operator_positions: z.int().min(1).max(50).default(1).describe('Among how many people the alarms are shared out'),
  webhook: webhook.optional(),
})
