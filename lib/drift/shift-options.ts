import type { Side } from '../../shared/sample.ts'
import type { ChannelConfig, ZoneConfig } from '../../shared/schemas/config.ts'
import type { FigureLimit } from '../../shared/schemas/now.ts'
import { geometryFromConfig, usualSpans } from '../geometry/from-config.ts'
import { entriesOf } from '../geometry/sided.ts'
import { statisticsOptions } from '../statistics/zone-statistics-options.ts'

/** What the analysis of a zone's minutes needs of its config. */
export interface ShiftOptions {
  readonly zone: string
  /** Drive side first. */
  readonly sides: readonly Side[]
  readonly hasGeometry: boolean
  /** A total within ± this is a slack web, N. */
  readonly slackBelowN: number
  /** Of every rate: % an hour, of the quantity's own hundred. */
  readonly rateLimit: FigureLimit
  readonly sideDifferenceLimit: FigureLimit
  /** The zone's largest tension, N, and its force along each arrow; null without geometry. */
  readonly largestN: number | null
  readonly spansN: Readonly<Partial<Record<Side, number>>> | null
}

/** Throws as `statisticsOptions` does. */
export function shiftOptions(zone: ZoneConfig, channels: ReadonlyMap<string, ChannelConfig>): ShiftOptions {
  const { cells, slackBelowN } = statisticsOptions(zone, channels, () => 1)
  const configured = geometryFromConfig(zone, channels)
  const about0 = ({ value, source }: { value: number; source: string }) => ({ target: 0, half: value, source })
  const order: readonly Side[] = ['drive_side', 'operator_side', 'single']
  return {
    zone: zone.id,
    sides: order.filter((side) => cells.some((cell) => cell.side === side)),
    hasGeometry: configured !== undefined,
    slackBelowN,
    rateLimit: about0(zone.limits.drift_percent_per_hour),
    sideDifferenceLimit: about0(zone.limits.side_difference_percent),
    largestN: configured?.geometry.load.largest ?? null,
    spansN: configured === undefined ? null : Object.fromEntries(entriesOf(usualSpans(zone, configured))),
  }
}
