import { conditionOf } from '../../lib/alarms/condition.ts'
import { qualityClause } from '../../lib/quality/words.ts'
import { shortNumber } from '../../lib/statistics/words.ts'
import { qualityOf } from '../../shared/quality.ts'
import type { Side } from '../../shared/sample.ts'
import type { AlarmReading } from '../../shared/schemas/alarms.ts'
import type { AlarmConfig, ZoneConfig } from '../../shared/schemas/config.ts'
import type { Figure, SideNow, ZoneNow } from '../../shared/schemas/now.ts'
import { type AlarmKind, type Look, NOTHING_SEEN } from './defined-alarm.ts'
import type { AlarmFacts } from './facts.ts'

const SIDE_NAMES: Readonly<Record<Side, string>> = {
  drive_side: 'Drive side',
  operator_side: 'Operator side',
  single: 'Load cell',
}
const OUTSIDE = 'outside its limit'
const NO_GEOMETRY = 'the zone has no geometry that tells what to expect'

/** Every alarm of a zone. A new one is a row here, and a key of `zoneAlarms` in shared/schemas/config.ts. */
export function zoneAlarms(zone: ZoneConfig): AlarmKind[] {
  const { id, alarms, geometry } = zone
  const sides = Object.keys(zone.cells) as Side[]
  const hasPair = sides.length > 1
  const missing = geometry === undefined ? NO_GEOMETRY : undefined
  const figure = (
    key: keyof typeof alarms,
    name: string,
    title: string,
    of: (now: ZoneNow) => Figure | undefined,
  ): AlarmKind => ({
    id: `${id}.${name}`,
    key,
    title,
    wrong: OUTSIDE,
    config: alarms[key],
    look: ({ zones }) => lookAtFigure(zones.get(id), of, alarms[key]),
  })
  return [
    { ...figure('agreement', 'agreement', 'Agreement with what is expected', (now) => now.agreement), missing },
    ...(hasPair ? [figure('side_difference', 'side-difference', 'Side difference', (now) => now.imbalance)] : []),
    ...sides.map((side) =>
      figure('noise', `noise.${side}`, `Noise, ${SIDE_NAMES[side].toLowerCase()}`, (now) => sideOf(now, side)?.noise),
    ),
    ...(hasPair
      ? [figure('drift', 'drift.side-difference', 'Drift of the side difference', (now) => now.driftOfSideDifference)]
      : []),
    {
      ...figure('drift', 'drift.residual', 'Drift of the agreement', (now) => now.driftOfResidual),
      missing,
    },
    ...sides.flatMap((side) => cellAlarms(zone, side)),
  ]
}

function cellAlarms({ id, alarms }: ZoneConfig, side: Side): AlarmKind[] {
  const seen = ({ zones }: AlarmFacts) => sideOf(zones.get(id), side)
  return [
    {
      id: `${id}.side-lost.${side}`,
      key: 'side_lost',
      title: SIDE_NAMES[side],
      wrong: 'without good data',
      config: alarms.side_lost,
      look: (facts) => lookForData(seen(facts)),
    },
    {
      id: `${id}.over-capacity.${side}`,
      key: 'over_capacity',
      title: `Force, ${SIDE_NAMES[side].toLowerCase()}`,
      wrong: 'over what the cell is rated for',
      config: alarms.over_capacity,
      look: (facts) => lookForOverload(seen(facts), facts.overload(id, side)),
    },
  ]
}

function sideOf(now: ZoneNow | undefined, side: Side): SideNow | undefined {
  return (now?.sides as Partial<Record<Side, SideNow>> | undefined)?.[side]
}

/** A figure under the one rule of judgement. A figure that waits tells nothing, so that its alarm becomes unknown. */
function lookAtFigure(
  now: ZoneNow | undefined,
  of: (now: ZoneNow) => Figure | undefined,
  { deadband_percent }: AlarmConfig,
): Look {
  const figure = now === undefined ? undefined : of(now)
  if (figure === undefined) return NOTHING_SEEN
  const { value, U, unit, limit, verdict, timeMs } = figure
  return {
    condition: conditionOf({ verdict: verdict.state, value, U, limit }, deadband_percent / 100),
    reading: {
      value,
      unit,
      U,
      limit: limit?.half ?? null,
      limitSource: limit?.source ?? null,
      sentence: verdict.sentence,
      timeMs,
    },
  }
}

/** A side with data that count, though they be over the capacity of its cell: that has an alarm of its own. */
function lookForData(side: SideNow | undefined): Look {
  if (side === undefined) return NOTHING_SEEN
  const { code, unit, timeMs } = side.live
  const hasData = code === 'over-capacity' || qualityOf(code) === 'good'
  return {
    condition: code === 'starting' ? 'unknown' : hasData ? 'inside' : 'outside',
    reading: {
      ...ofSide(unit, timeMs),
      sentence: hasData ? 'Good data come.' : `No good data: ${qualityClause(code)}.`,
    },
  }
}

/** Also what came between two looks. Beyond belief (`over-range`) is an overload until somebody has looked. */
function lookForOverload(side: SideNow | undefined, peakN: number | null): Look {
  if (side === undefined) return NOTHING_SEEN
  const { code, value, unit, timeMs } = side.live
  const rated = { limit: side.capacityN, limitSource: 'rated capacity in the config' }
  if (peakN !== null || code === 'over-capacity' || code === 'over-range') {
    const seenN = peakN ?? value
    const words = seenN === null ? qualityClause(code) : `${shortNumber(seenN)} N`
    const sentence = `Over capacity: ${words}; the cell is rated for ${shortNumber(side.capacityN)} N.`
    return { condition: 'outside', reading: { ...ofSide(unit, timeMs), ...rated, value: seenN, sentence } }
  }
  if (code !== 'good') return NOTHING_SEEN
  return {
    condition: 'inside',
    reading: { ...ofSide(unit, timeMs), ...rated, value, sentence: 'Within what the cell is rated for.' },
  }
}

function ofSide(unit: string, timeMs: number | null): Omit<AlarmReading, 'sentence'> {
  return { value: null, unit, U: null, limit: null, limitSource: null, timeMs }
}
