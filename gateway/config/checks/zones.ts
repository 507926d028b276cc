import { AUX_ROLES } from '../../../shared/sample.ts'
import type { ChannelConfig, ZoneConfig } from '../../../shared/schemas/config.ts'
import { type Finding, unknownName, wrong, wrongKey } from '../finding.ts'
import { didYouMean } from '../nearest.ts'
import { isWritten, type Part, type Parts } from '../parts.ts'
import { list } from '../words.ts'

/** What the channel of each role has to measure. */
const MEASURES = {
  drive_side: 'force',
  operator_side: 'force',
  single: 'force',
  speed: 'speed',
  roller_speed: 'roller_speed',
  reference: 'tension',
  temperature: 'temperature',
  neighbour: 'length',
} as const satisfies Record<string, ChannelConfig['measures']>

interface Role {
  readonly name: keyof typeof MEASURES
  readonly channel: string
  readonly path: Finding['path']
}

/** Channels that a zone names, and the figures that must fit its cells. */
export function checkZones(parts: Parts): Finding[] {
  return parts.zones.flatMap((zone) => [
    ...rolesOf(zone).flatMap((role) => roleRule(zone.value, role, parts)),
    ...forceFactorRule(zone),
    ...offsetRule(zone),
  ])
}

function rolesOf({ value, path }: Part<ZoneConfig>): Role[] {
  const cells = Object.entries(value.cells).map(([name, channel]) => ({
    name,
    channel,
    path: [...path, 'cells', name],
  }))
  const others = AUX_ROLES.flatMap((name) => {
    const channel = value[name]
    return channel === undefined ? [] : [{ name, channel, path: [...path, name] }]
  })
  return [...(cells as Role[]), ...others]
}

function roleRule(zone: ZoneConfig, role: Role, { channels, written }: Parts): Finding[] {
  const wanted = MEASURES[role.name]
  const fitting = channels.flatMap(({ value }) => (value.measures === wanted ? [value.id] : []))
  const channel = channels.find(({ value }) => value.id === role.channel)?.value
  if (channel !== undefined && channel.measures === wanted) return []
  const choice = didYouMean(role.channel, fitting) || `; channels that do: ${list(fitting, 'and') || 'none'}`
  const where = `zone ${zone.id}: ${role.name}`
  if (channel !== undefined) {
    const message = `${where}: channel ${channel.id} measures ${channel.measures}, expected one that measures ${wanted}`
    return [unknownName(role.path, message + choice)]
  }
  const names = written.channels.map(({ value }) => value)
  if (isWritten(role.channel, names)) return []
  const known = didYouMean(role.channel, fitting) || didYouMean(role.channel, names)
  const listed = known || `; channels that measure ${wanted}: ${list(fitting, 'and') || 'none'}`
  return [unknownName(role.path, `${where}: there is no channel ${role.channel}${listed}`)]
}

function forceFactorRule({ value, path }: Part<ZoneConfig>): Finding[] {
  if (!('single' in value.cells) || typeof value.force_factor !== 'object') return []
  const message = `zone ${value.id}: force_factor: a zone with a single cell has one number, not one a side`
  return [wrong([...path, 'force_factor'], message)]
}

function offsetRule({ value, path }: Part<ZoneConfig>): Finding[] {
  const { cell_distance_m: distance, web_offset_m: offset } = value
  const findings: Finding[] = []
  if (distance !== undefined && 'single' in value.cells)
    findings.push(wrongKey([...path, 'cell_distance_m'], `zone ${value.id}: a single cell has no distance to another`))
  if (distance === undefined || Math.abs(offset) <= distance / 2) return findings
  const message =
    `zone ${value.id}: web_offset_m: ${offset} from mid-span is beyond the cells ` +
    `(cell_distance_m ${distance}: at most ${distance / 2} to either side)`
  return [...findings, wrong([...path, 'web_offset_m'], message)]
}
