import { AUX_ROLES, type AuxRole, type Side } from '../../shared/sample.ts'
import type { ChannelConfig, ZoneConfig } from '../../shared/schemas/config.ts'
import { toSi } from '../../shared/units.ts'
import { geometryFromConfig, usualForceFactors } from '../geometry/from-config.ts'
import { ofSide } from '../geometry/sided.ts'
import { uncertaintyOf } from '../scale/default-uncertainty.ts'
import { capacityN } from '../scale/force.ts'
import { readingStep } from '../scale/step.ts'
import { staleAfterMs } from '../zone/stale.ts'
import type { TensionScale } from './tension-scale.ts'

/** Default slack limit: this share of the summed capacity, as the total is shown (common practice, no source). */
export const SLACK_SHARE_OF_CAPACITY = 0.02
/** A hole of more than this many poll periods breaks a noise block (common practice, no source). */
const HOLE_PERIODS = 3

/** One cell as its statistics need it; SI. */
export interface CellOptions {
  readonly side: Side
  /** 0 where it is not known. */
  readonly capacityN: number
  /** Standard uncertainty of the gain as a share of it, and of the zero in N. */
  readonly gainU: number
  readonly zeroUN: number
  /** Where those two came from. */
  readonly gainSource?: string
  readonly zeroSource?: string
  /** Force of one step of the raw value; 0 where nothing tells it (float32, replay, IIO). */
  readonly stepN: number
  /** Newtons along the arrow per newton of web tension; null when unknown. */
  readonly forceFactor: number | null
  /** Standard uncertainty of that factor which the other side does not share, as a share of it; absent: forceFactorU. */
  readonly ownFactorU?: number
  readonly ownFactorSource?: string
  readonly staleAfterMs: number
  /** A hole in time longer than this breaks a noise block. */
  readonly holeMs: number
}

export interface ZoneStatisticsOptions {
  readonly cells: readonly CellOptions[]
  /** Standard uncertainty of a force factor as a share of it; and whether one number serves both sides. */
  readonly forceFactorU: number
  readonly commonForceFactor: boolean
  readonly forceFactorSource?: string
  /** What the zone's geometry makes of the forces at this moment; absent without geometry. */
  readonly scale?: TensionScale
  /** The zone has a geometry: what is measured is held against what it expects. */
  readonly compares?: boolean
  readonly cellDistanceM: number | null
  readonly averageMs: number
  readonly noiseBlockMs: number
  readonly driftMs: number
  readonly slackBelowN: number
  readonly steady: { readonly speedPercent: number; readonly referencePercent: number }
  /** Which of the channels that tell steadiness the zone has. */
  readonly watches: { readonly speed: boolean; readonly reference: boolean }
  readonly auxStaleAfterMs: Readonly<Partial<Record<AuxRole, number>>>
}

/**
 * What `ZoneStatistics` needs, from a zone and its channels. `rateHz` gives the poll rate of a channel's device.
 * Throws RangeError on a missing channel or a cell without a force scale; the config check refuses both earlier.
 */
export function statisticsOptions(
  zone: ZoneConfig,
  channels: ReadonlyMap<string, ChannelConfig>,
  rateHz: (channelId: string) => number,
): ZoneStatisticsOptions {
  const channelOf = (id: string): ChannelConfig => {
    const channel = channels.get(id)
    if (channel === undefined) throw new RangeError(`zone ${zone.id} names channel ${id}, which does not exist`)
    return channel
  }
  const configured = geometryFromConfig(zone, channels)
  const factors = configured === undefined ? undefined : usualForceFactors(zone, configured)
  const cells = (Object.entries(zone.cells) as [Side, string][]).map(([side, id]) => {
    const factor = factors === undefined ? forceFactorOf(zone, side) : ofSide(factors, side)
    return cellOptions(side, channelOf(id), rateHz(id), factor)
  })
  const auxStaleAfterMs: Partial<Record<AuxRole, number>> = {}
  for (const role of AUX_ROLES) {
    const id = zone[role]
    if (id !== undefined) auxStaleAfterMs[role] = staleAfterMs(channelOf(id), rateHz(id))
  }
  const factorU = uncertaintyOf('forceFactor', zone.u_force_factor_percent)
  return {
    cells,
    forceFactorU: factorU.share,
    forceFactorSource: factorU.source,
    commonForceFactor: configured === undefined && typeof zone.force_factor === 'number',
    compares: configured !== undefined,
    cellDistanceM: zone.cell_distance_m ?? null,
    averageMs: zone.average_s * 1000,
    noiseBlockMs: zone.noise_block_s * 1000,
    driftMs: zone.drift_s * 1000,
    slackBelowN: zone.slack_below_n ?? defaultSlackN(cells),
    steady: { speedPercent: zone.steady.speed_percent, referencePercent: zone.steady.reference_percent },
    watches: { speed: zone.speed !== undefined, reference: zone.reference !== undefined },
    auxStaleAfterMs,
  }
}

function cellOptions(side: Side, channel: ChannelConfig, rateHz: number, forceFactor: number | null): CellOptions {
  const scale = channel.force
  if (scale === undefined) throw new RangeError(`channel ${channel.id} has no force scale`)
  const capacity = capacityN(scale)
  const gain = uncertaintyOf('gain', scale.u_gain_percent)
  const zero = uncertaintyOf('zero', scale.u_zero_percent)
  const stale = staleAfterMs(channel, rateHz)
  return {
    side,
    capacityN: capacity,
    gainU: gain.share,
    gainSource: gain.source,
    zeroUN: capacity * zero.share,
    zeroSource: zero.source,
    stepN: Math.abs(toSi('force', readingStep(channel) * scale.gain, scale.unit)),
    forceFactor,
    staleAfterMs: stale,
    holeMs: Math.min(stale, (HOLE_PERIODS * 1000) / rateHz),
  }
}

function forceFactorOf({ force_factor: factor }: ZoneConfig, side: Side): number | null {
  if (factor === undefined) return null
  if (typeof factor === 'number') return factor
  return side === 'single' ? null : factor[side]
}

function defaultSlackN(cells: readonly CellOptions[]): number {
  return cells.reduce(
    (sum, cell) => sum + (SLACK_SHARE_OF_CAPACITY * cell.capacityN) / Math.abs(cell.forceFactor ?? 1),
    0,
  )
}
