import type { ChannelConfig, ZoneConfig } from '../../shared/schemas/config.ts'
import type { GeometryConfig, GeometryRollerConfig } from '../../shared/schemas/geometry.ts'
import { uncertaintyOf } from '../scale/default-uncertainty.ts'
import { type CandidateInputs, type TurningRoller, turnOf } from './candidates.ts'
import { type RunningSpeed, runningSpeed } from './running-speed.ts'
import { goodValues, type ZoneRows } from './signals.ts'

/** What is known of a zone that may make lines, over the rows of a spectrum. */
export interface ZoneSources extends Omit<CandidateInputs, 'rateHz'> {
  readonly running: RunningSpeed
  /** Of the measuring roller, 1/s: by its own signal, else from the speed and its diameter. Null when not known. */
  readonly turnHz: number | null
  /** How far that turn rate moved, as a share of it; 0 when nothing turns. */
  readonly change: number
  readonly hasGeometry: boolean
}

/** Standard uncertainty of a diameter when the config gives none, mm: as the geometry assumes (common practice). */
const ASSUMED_DIAMETER_MM = 0.4

export function zoneSources(
  zone: ZoneConfig,
  channels: ReadonlyMap<string, ChannelConfig>,
  rows: ZoneRows,
): ZoneSources {
  const running = runningOf(rows, 'speed')
  const ownRunning = runningOf(rows, 'roller_speed')
  const speed = running.state === 'running' ? { ...running, uRelative: uOf(zone.speed, channels) } : null
  const { geometry } = zone
  const measuring = geometry?.rollers.measuring
  const ownTurn =
    ownRunning.state === 'running'
      ? { ...ownRunning, name: measuring?.name ?? 'the measuring roller', uRelative: uOf(zone.roller_speed, channels) }
      : null
  return {
    running: running.state === 'unknown' ? ownRunning : running,
    speed,
    ownTurn,
    rollers: geometry === undefined ? [] : rollersOf(geometry, rows),
    naturalHz: zone.natural_frequency_hz ?? null,
    turnHz: ownTurn?.mean ?? turnOf(speed, measuring === undefined ? undefined : measuring.diameter_mm / 1000),
    change: ownTurn?.change ?? speed?.change ?? 0,
    hasGeometry: geometry !== undefined,
  }
}

function runningOf(rows: ZoneRows, column: 'speed' | 'roller_speed'): RunningSpeed {
  const values = goodValues(rows, column)
  if (values === undefined) return { state: 'unknown' }
  return runningSpeed({ times: rows.timesMs.map((ms) => ms / 1000), values })
}

const uOf = (id: string | undefined, channels: ReadonlyMap<string, ChannelConfig>): number =>
  uncertaintyOf('value', id === undefined ? undefined : channels.get(id)?.scale?.u_percent).share

/** The measuring roller and its neighbours; a winding roll as large as its channel says, else as typed, else left out. */
function rollersOf({ rollers, moving, uncertainty }: GeometryConfig, rows: ZoneRows): TurningRoller[] {
  const uDiameter = (uncertainty.diameter_mm ?? ASSUMED_DIAMETER_MM) / 1000
  const roller = ({ name, diameter_mm }: GeometryRollerConfig): TurningRoller => ({
    name,
    diameter: diameter_mm / 1000,
    uDiameter,
  })
  const neighbours = { before: rollers.before.at(-1), after: rollers.after[0] }
  const fixed = [rollers.measuring, ...[...rollers.before].reverse(), ...rollers.after]
  if (moving?.kind !== 'winding-roll') return fixed.map(roller)
  const roll = neighbours[moving.at]
  const now = windingDiameter(rows) ?? (moving.now_mm === undefined ? null : moving.now_mm / 1000)
  const still = fixed.filter((one) => one !== roll).map(roller)
  return roll === undefined || now === null
    ? still
    : [...still, { name: roll.name, diameter: now, uDiameter: 5 * uDiameter }]
}

/** Mean diameter that the neighbour's channel told, m; null without a good sample. */
function windingDiameter(rows: ZoneRows): number | null {
  const good = goodValues(rows, 'neighbour')?.filter((value) => value > 0)
  if (good === undefined || good.length === 0) return null
  return good.reduce((sum, value) => sum + value / good.length, 0)
}
