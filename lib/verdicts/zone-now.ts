import type { EpochMs, MonotonicMs } from '../../shared/brand.ts'
import type { AuxRole, Side } from '../../shared/sample.ts'
import type { ChannelConfig, Limit, ZoneConfig } from '../../shared/schemas/config.ts'
import type { Figure, FigureLimit, SideNow, ZoneNow } from '../../shared/schemas/now.ts'
import { capacityN } from '../scale/force.ts'
import type { LiveSample, Outcome, SideSnapshot, ZoneSnapshot } from '../statistics/zone-snapshot.ts'
import type { ExpectedPicture } from '../zone/expectation.ts'
import { expectedNow } from './expected-now.ts'
import { type FigureSpec, figureOf } from './figure.ts'
import { FORMULAS } from './formulas.ts'
import type { Averaging } from './judge.ts'
import { liveOf } from './live.ts'

/** The most that `average_s` and `drift_s` may be set to, in seconds: the bounds of the config. */
const MOST_AVERAGE_S = 600
const MOST_DRIFT_S = 86_400

export interface ZoneNowInput {
  readonly zone: ZoneConfig
  readonly channels: ReadonlyMap<string, ChannelConfig>
  readonly snapshot: ZoneSnapshot
  /** What the geometry expects over the window; undefined without geometry, or while nothing can be expected. */
  readonly expected?: ExpectedPicture | undefined
  readonly now: MonotonicMs
  readonly toEpoch: (t: MonotonicMs) => EpochMs
}

/**
 * What a zone is doing now, every figure with its verdict: the body of GET /api/zones/ID/now.
 * Throws RangeError when the zone names a channel that is not in `channels`; the config check refuses that earlier.
 */
export function composeZoneNow({ zone, channels, snapshot, expected, now, toEpoch }: ZoneNowInput): ZoneNow {
  const channelOf = (id: string): ChannelConfig => {
    const channel = channels.get(id)
    if (channel === undefined) throw new RangeError(`zone ${zone.id} names channel ${id}, which does not exist`)
    return channel
  }
  const figure = (outcome: Outcome, spec: FigureSpec): Figure => figureOf(outcome, spec, toEpoch)
  const specs = specsOf(zone, snapshot)
  const { residual } = snapshot
  const held =
    residual === undefined
      ? undefined
      : expectedNow({ zone, residual, picture: expected, ...windowsOf(zone), channelOf, toEpoch })
  const sideNow = (side: Side): SideNow => ({
    ...sideNowOf(zone, snapshot, side, specs, channelOf, toEpoch),
    ...held?.sides[side],
  })
  const { pair } = snapshot
  return {
    zone: zone.id,
    timeMs: toEpoch(now),
    sides:
      pair === undefined
        ? { single: sideNow('single') }
        : { drive_side: sideNow('drive_side'), operator_side: sideNow('operator_side') },
    total: figure(snapshot.total, specs.total),
    totalMeans: snapshot.totalMeans,
    ...held?.zone,
    ...(pair === undefined
      ? {}
      : {
          imbalance: figure(pair.imbalance, specs.imbalance),
          lineOfPull: figure(pair.lineOfPull, specs.lineOfPull),
          driftOfSideDifference: figure(pair.driftOfSideDifference, specs.driftOfSideDifference),
          skew: figure(skewOutcome(snapshot), specs.skew),
        }),
    rateOfTotal: figure(snapshot.rateOfTotal, specs.rateOfTotal),
    steady: snapshot.steady,
    aux: auxNow(zone, snapshot.aux, channelOf, toEpoch),
  }
}

type Specs = ReturnType<typeof specsOf>

/** Unit, formula and limit of every figure of a zone. The rate of the total is never judged: a set tension may change. */
function specsOf(zone: ZoneConfig, { totalMeans, unjudged }: ZoneSnapshot) {
  const { average, drift } = windowsOf(zone)
  const { limits } = zone
  const [tension, total] =
    zone.geometry === undefined
      ? [FORMULAS.tension, FORMULAS.totalTension]
      : [FORMULAS.geometryTension, FORMULAS.geometryTotal]
  return {
    force: { unit: 'N', why: FORMULAS.force, judged: null },
    tension: { unit: 'N', why: tension, judged: null },
    noise: {
      unit: '%',
      why: FORMULAS.noise,
      judged: { limit: about0(limits.noise_percent), averaging: average },
      unjudged,
    },
    peakToPeak: { unit: 'N', why: FORMULAS.peakToPeak, judged: null },
    total: {
      unit: 'N',
      why: totalMeans === 'tension' ? total : FORMULAS.totalForce,
      judged: null,
    },
    imbalance: {
      unit: '%',
      why: FORMULAS.imbalance,
      judged: { limit: about0(limits.side_difference_percent), averaging: average },
      unjudged,
    },
    lineOfPull: { unit: 'm', why: FORMULAS.lineOfPull, judged: null },
    driftOfSideDifference: {
      unit: 'points/h',
      why: FORMULAS.driftOfSideDifference,
      judged: { limit: about0(limits.drift_percent_per_hour), averaging: drift },
      unjudged,
    },
    rateOfTotal: { unit: 'N/h', why: FORMULAS.rateOfTotal, judged: null },
    skew: { unit: 'ms', why: FORMULAS.skew, judged: null },
  } as const satisfies Record<string, FigureSpec>
}

function windowsOf(zone: ZoneConfig): Record<'average' | 'drift', Omit<Averaging, 'seconds'>> {
  return {
    average: {
      longestSeconds: zone.average_s,
      power: 1,
      setting: 'average_s',
      mostSettableSeconds: MOST_AVERAGE_S,
    },
    drift: { longestSeconds: zone.drift_s, power: 3, setting: 'drift_s', mostSettableSeconds: MOST_DRIFT_S },
  }
}

function about0({ value, source }: Limit): FigureLimit {
  return { target: 0, half: value, source }
}

function sideNowOf(
  zone: ZoneConfig,
  snapshot: ZoneSnapshot,
  side: Side,
  specs: Specs,
  channelOf: (id: string) => ChannelConfig,
  toEpoch: ZoneNowInput['toEpoch'],
): SideNow {
  const channel = channelOf(cellChannel(zone, side))
  const measured = snapshot.sides.find((s) => s.side === side)
  if (measured === undefined || channel.force === undefined)
    throw new RangeError(`zone ${zone.id} has no load cell on its ${side}`)
  const figure = (outcome: Outcome, spec: FigureSpec): Figure => figureOf(outcome, spec, toEpoch)
  return {
    live: liveOf(channel, measured.live, toEpoch),
    force: figure(measured.force, specs.force),
    ...(measured.tension === null ? {} : { tension: figure(measured.tension, specs.tension) }),
    noise: figure(measured.noise, specs.noise),
    peakToPeak: figure(measured.peakToPeak, specs.peakToPeak),
    capacityN: capacityN(channel.force),
  }
}

function cellChannel({ cells, id }: ZoneConfig, side: Side): string {
  const channel = (cells as Partial<Record<Side, string>>)[side]
  if (channel === undefined) throw new RangeError(`zone ${id} has no load cell on its ${side}`)
  return channel
}

function skewOutcome({ pair, sides }: ZoneSnapshot): Outcome {
  const missing = sides.map((side: SideSnapshot) => side.force).find((force) => force.kind === 'no-data')
  if (missing !== undefined) return missing
  const skew = pair?.skew
  if (skew === null || skew === undefined) return { kind: 'waiting', for: 'no frame has held both sides yet' }
  const u = skew.halfWidthMs / Math.sqrt(3)
  return {
    kind: 'told',
    quantity: {
      value: skew.ms,
      uRandom: 0,
      dof: Number.POSITIVE_INFINITY,
      systematic: [{ name: 'round trips', value: skew.halfWidthMs, unit: 'ms', u, contribution: u }],
      inputs: [],
      window: { seconds: 0, samples: 1, effectiveSamples: null },
      newestMs: skew.tMs,
    },
  }
}

function auxNow(
  zone: ZoneConfig,
  aux: ZoneSnapshot['aux'],
  channelOf: (id: string) => ChannelConfig,
  toEpoch: ZoneNowInput['toEpoch'],
): ZoneNow['aux'] {
  const now: ZoneNow['aux'] = {}
  for (const [role, live] of Object.entries(aux) as [AuxRole, LiveSample][]) {
    const id = zone[role]
    if (id !== undefined) now[role] = liveOf(channelOf(id), live, toEpoch)
  }
  return now
}
