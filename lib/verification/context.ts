import type { Side } from '../../shared/sample.ts'
import type { ChannelConfig, Config, ForceScale, ZoneConfig } from '../../shared/schemas/config.ts'
import { toSi } from '../../shared/units.ts'
import type { OperatingState } from '../geometry/description.ts'
import { type Expected, expectedOf } from '../geometry/expected.ts'
import { type ConfiguredGeometry, geometryFromConfig, usualState } from '../geometry/from-config.ts'
import { rangeOf } from '../geometry/neighbour.ts'
import { pathFaultSentence } from '../geometry/path-fault.ts'
import { uncertaintyOf } from '../scale/default-uncertainty.ts'
import { capacityN } from '../scale/force.ts'
import { readingStep } from '../scale/step.ts'
import { type VerificationLimits, verificationLimits } from './limits.ts'

/** A zone as its verification sees it: the config in force, and what follows from it alone. */
export interface VerificationContext {
  readonly config: Config
  readonly zone: ZoneConfig
  readonly revision: string
  /** Drive side first; the one cell of a cantilever is `single`. */
  readonly sides: readonly Side[]
  readonly channels: ReadonlyMap<string, ChannelConfig>
  /** null for a zone without geometry. */
  readonly geometry: ConfiguredGeometry | null
  /** What is expected in the usual running state; or why nothing is. */
  readonly expected: Expected | string
  readonly limits: VerificationLimits
}

/** Throws RangeError for a zone that the config does not have. */
export function verificationContext(config: Config, zoneId: string, revision: string): VerificationContext {
  const zone = config.zones.find(({ id }) => id === zoneId)
  if (zone === undefined) throw new RangeError(`there is no zone ${zoneId}`)
  const channels = new Map(config.channels.map((channel) => [channel.id, channel]))
  const geometry = geometryFromConfig(zone, channels) ?? null
  return {
    config,
    zone,
    revision,
    sides: 'single' in zone.cells ? ['single'] : ['drive_side', 'operator_side'],
    channels,
    geometry,
    expected: expectedIn(zone, geometry),
    limits: verificationLimits(zone),
  }
}

const NO_GEOMETRY = 'the zone has no geometry: draw its web path on the page Geometry'

function expectedIn(zone: ZoneConfig, geometry: ConfiguredGeometry | null): Expected | string {
  if (geometry === null) return NO_GEOMETRY
  const result = expectedOf(geometry.geometry, paperState(zone, geometry))
  return result.possible ? result.expected : pathFaultSentence(result.fault)
}

/** The usual running state; a neighbour that moves and whose place nobody typed stands in the middle of its range. */
export function paperState(zone: ZoneConfig, geometry: ConfiguredGeometry): OperatingState {
  const usual = usualState(zone, geometry)
  const { moving } = geometry.geometry
  if (moving === null || usual.neighbour !== null) return usual
  const [from, to] = rangeOf(moving)
  return { ...usual, neighbour: (from + to) / 2 }
}

/** What is expected; null where nothing can be. */
export const expectedOrNull = ({ expected }: VerificationContext): Expected | null =>
  typeof expected === 'string' ? null : expected

/** The channel of a side's cell. */
function cellChannel({ zone, channels }: VerificationContext, side: Side): ChannelConfig {
  const id = (zone.cells as Partial<Record<Side, string>>)[side]
  const channel = id === undefined ? undefined : channels.get(id)
  if (channel === undefined) throw new RangeError(`zone ${zone.id} has no cell on ${side}`)
  return channel
}

export function forceScaleOf(context: VerificationContext, side: Side): ForceScale {
  const { force, id } = cellChannel(context, side)
  if (force === undefined) throw new RangeError(`channel ${id} has no force scale`)
  return force
}

export const cellCapacityN = (context: VerificationContext, side: Side): number =>
  capacityN(forceScaleOf(context, side))

/** Force along a side's arrow from bare roller to the largest tension, N; its cell's capacity where nothing tells it. */
export function spanOfSide(context: VerificationContext, side: Side): number {
  const expected = expectedOrNull(context)
  const largest = context.geometry?.geometry.load.largest
  const of = (expected?.sides as Partial<Record<Side, { tensionShare: number; forceFactor: number }>> | undefined)?.[
    side
  ]
  if (of === undefined || largest === undefined) return cellCapacityN(context, side)
  return Math.abs(of.tensionShare * of.forceFactor) * largest
}

/** What a cell's channel makes of a force. */
export interface CellScale {
  /** N per unit of the reading, with its standard uncertainty as a share of 1. */
  readonly gainN: number
  readonly gainU: number
  /** Reading with the bare roller, and its standard uncertainty in N. */
  readonly zero: number
  readonly zeroUN: number
  /** Unit of the reading: mA, V, mV/V or counts. */
  readonly unit: string
  /** One step of the reading, in that unit; 0 where nothing tells it. */
  readonly step: number
}

export function cellScale(context: VerificationContext, side: Side): CellScale {
  const channel = cellChannel(context, side)
  const force = forceScaleOf(context, side)
  return {
    gainN: toSi('force', force.gain, force.unit),
    gainU: uncertaintyOf('gain', force.u_gain_percent).share,
    zero: force.zero,
    zeroUN: uncertaintyOf('zero', force.u_zero_percent).share * capacityN(force),
    unit: channel.electrical?.unit ?? 'counts',
    step: readingStep(channel),
  }
}
