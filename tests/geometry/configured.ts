import { type ChannelConfig, type ConfigInput, configSchema, type ZoneConfig } from '../../shared/schemas/config.ts'
import type { GeometryConfigInput } from '../../shared/schemas/geometry.ts'

/** The coater outfeed of the example line as its drawing gives it: 150 mm idler, web over it, arrows on the bisector. */
export const COATER_GEOMETRY: GeometryConfigInput = {
  rollers: {
    before: [{ name: 'guide roller', x_mm: -620, y_mm: -320, diameter_mm: 120, turn: 'counter-clockwise' }],
    measuring: { name: 'measuring roller', x_mm: 0, y_mm: 0, diameter_mm: 150, turn: 'clockwise' },
    after: [{ name: 'chill roller', x_mm: 400, y_mm: -520, diameter_mm: 150, turn: 'counter-clockwise' }],
  },
  roller_mass_kg: 14,
  arrows_deg: { drive_side: -103, operator_side: -104 },
  basis_weight_gsm: 40,
  tension: { low_n: 60, normal_n: 180, high_n: 250, fastest_m_min: 300 },
}

const ROLL: GeometryConfigInput = {
  ...COATER_GEOMETRY,
  moving: { kind: 'winding-roll', at: 'after', core_diameter_mm: 90, full_diameter_mm: 600, now_mm: 300 },
}

/** A winder: the roller after the measuring roller is a roll that grows. */
export const WINDER_GEOMETRY: GeometryConfigInput = {
  ...ROLL,
  rollers: {
    ...COATER_GEOMETRY.rollers,
    after: [{ name: 'winding roll', x_mm: 400, y_mm: -520, diameter_mm: 300, turn: 'counter-clockwise' }],
  },
}

export const roller = (name: string, x_mm: number, y_mm: number, turn: 'clockwise' | 'counter-clockwise') => ({
  name,
  x_mm,
  y_mm,
  diameter_mm: 200,
  turn,
})

/**
 * The web comes straight up, goes over the roller and straight down again: half a turn, both arrows straight down, so that
 * the force is twice the tension by statics (belt over a pulley). 1 m of web at 40 g/m²: m·v² is 4 N at 10 m/s.
 */
export const HALF_TURN: GeometryConfigInput = {
  rollers: {
    before: [roller('lower roller', -200, -1000, 'counter-clockwise')],
    measuring: roller('measuring roller', 0, 0, 'clockwise'),
    after: [roller('pull roller', 200, -300, 'counter-clockwise')],
  },
  roller_mass_kg: 10,
  arrows_deg: { drive_side: -90, operator_side: -90 },
  basis_weight_gsm: 40,
  tension: { low_n: 50, normal_n: 100, high_n: 200, fastest_m_min: 1200 },
}

export type ZoneInput = ConfigInput['zones'][number]

/** A whole config of one zone with two cells, speed and reference, in which only the zone differs. */
export function configWith(zone: Partial<ZoneInput>): ConfigInput {
  const cell = (id: string, address: number) => ({
    id,
    device: 'amplifier',
    register: { address, type: 'float32' as const },
    electrical: { unit: 'mV/V' as const },
    force: { zero: 0.28, gain: 250, capacity: 500, u_gain_percent: 0.5, u_zero_percent: 0.1 },
  })
  const value = (
    id: string,
    address: number,
    measures: 'speed' | 'tension' | 'length',
    unit: 'm/min' | 'N' | 'mm',
    u_percent: number,
  ) => ({
    id,
    device: 'amplifier',
    measures,
    register: { address, type: 'float32' as const },
    scale: { unit, u_percent },
  })
  return {
    version: 1,
    devices: [{ id: 'amplifier', transport: 'modbus-tcp', host: '127.0.0.1', port: 15_020, rate_hz: 100 }],
    channels: [
      cell('ds', 0),
      cell('os', 2),
      value('line-speed', 4, 'speed', 'm/min', 0.2),
      value('set', 6, 'tension', 'N', 1),
      value('roll', 8, 'length', 'mm', 0.5),
    ],
    zones: [
      {
        id: 'outfeed',
        cells: { drive_side: 'ds', operator_side: 'os' },
        cell_distance_m: 1.6,
        web_width_m: 1.3,
        web_offset_m: 0.02,
        ...zone,
      } as ZoneInput,
    ],
  }
}

/** Such a zone, its defaults filled in, and the channels by id. */
export function zoneWith(zone: Partial<ZoneInput>): {
  readonly zone: ZoneConfig
  readonly channels: ReadonlyMap<string, ChannelConfig>
} {
  const config = configSchema.parse(configWith(zone))
  const [only] = config.zones
  if (only === undefined) throw new Error('the config has no zone')
  return { zone: only, channels: new Map(config.channels.map((channel) => [channel.id, channel])) }
}
