import type { ChannelConfig, ValueScale } from '../../shared/schemas/config.ts'
import { type QuantityKind, toSi } from '../../shared/units.ts'
import { twoPoint } from './two-point.ts'

/** What kind of quantity, and which SI unit, each channel's value is in. */
export const QUANTITY_OF = {
  force: { kind: 'force', si: 'N' },
  tension: { kind: 'force', si: 'N' },
  speed: { kind: 'speed', si: 'm/s' },
  roller_speed: { kind: 'rotation', si: '1/s' },
  temperature: { kind: 'temperature', si: '°C' },
  length: { kind: 'length', si: 'm' },
} as const satisfies Record<ChannelConfig['measures'], { kind: QuantityKind; si: string }>

/** SI value of a channel that is not a load cell. Throws RangeError when the unit does not fit what it measures. */
export function valueSi(measures: ChannelConfig['measures'], scale: ValueScale, reading: number): number {
  return toSi(QUANTITY_OF[measures].kind, twoPoint(scale.counts, scale.reads, reading), scale.unit)
}
