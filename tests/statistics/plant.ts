import { monotonicMs } from '../../shared/brand.ts'
import type { QualityCode } from '../../shared/quality.ts'
import { qualityOf } from '../../shared/quality.ts'
import type { Sample, ZoneFrame } from '../../shared/sample.ts'
import { type Config, type ConfigInput, configSchema } from '../../shared/schemas/config.ts'

type ZoneInput = ConfigInput['zones'][number]
type ChannelInput = ConfigInput['channels'][number]

const CELL = { unit: 'N', zero: 0, gain: 1, capacity: 500, u_gain_percent: 0.5, u_zero_percent: 0.1 } as const

/** A zone of the invented plant with its channels, defaults filled in. 500 N cells, gain 1, no steps. */
export function plantWith(zone: Partial<ZoneInput>, channels: readonly ChannelInput[] = []): Config {
  const cell = (id: string): ChannelInput => ({ id, device: 'amp', column: id, force: CELL })
  return configSchema.parse({
    version: 1,
    devices: [{ id: 'amp', transport: 'replay', file: 'plant.csv', rate_hz: 100 }],
    channels: [
      cell('ds'),
      cell('os'),
      { id: 'speed', device: 'amp', column: 'speed', measures: 'speed', scale: { unit: 'm/s' } },
      ...channels,
    ],
    zones: [{ id: 'infeed', cells: { drive_side: 'ds', operator_side: 'os' }, ...zone }],
  })
}

export const channelsOf = (config: Config) => new Map(config.channels.map((c) => [c.id, c]))

export function zoneOf(config: Config): Config['zones'][number] {
  const zone = config.zones[0]
  if (zone === undefined) throw new Error('the config has no zone')
  return zone
}

/** One sample; a code that is bad has no value. */
export function sampleAt(tMs: number, value: number, code: QualityCode = 'good'): Sample {
  const bad = qualityOf(code) === 'bad'
  return { tMs: monotonicMs(tMs), halfWidthMs: 0.5, raw: value, electrical: null, value: bad ? null : value, code }
}

/** A frame with both sides at one instant; a side left out is missing. */
export function pairAt(
  tMs: number,
  sides: { drive?: Sample; operator?: Sample },
  aux: ZoneFrame['aux'] = {},
): ZoneFrame {
  const { drive, operator } = sides
  return {
    tMs: monotonicMs(tMs),
    skewMs: drive && operator ? operator.tMs - drive.tMs : null,
    sides: { ...(drive ? { drive_side: drive } : {}), ...(operator ? { operator_side: operator } : {}) },
    aux,
  }
}

export function singleAt(tMs: number, sample: Sample): ZoneFrame {
  return { tMs: monotonicMs(tMs), skewMs: 0, sides: { single: sample }, aux: {} }
}
