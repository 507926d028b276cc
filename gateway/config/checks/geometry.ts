import { expectedOf } from '../../../lib/geometry/expected.ts'
import { geometryFromConfig, usualState } from '../../../lib/geometry/from-config.ts'
import { pathFaultSentence } from '../../../lib/geometry/path-fault.ts'
import { entriesOf, SIDE_WORDS } from '../../../lib/geometry/sided.ts'
import type { ChannelConfig, ZoneConfig } from '../../../shared/schemas/config.ts'
import type { GeometryConfig } from '../../../shared/schemas/geometry.ts'
import { type ConfigPath, type Finding, wrong, wrongKey } from '../finding.ts'
import type { Parts } from '../parts.ts'

/** Under this an arrow sees next to nothing of the web, and a tension told from it means nothing (common practice, no source). */
const LEAST_FORCE_FACTOR = 0.01

/** A zone's geometry against its cells, and whether a web can run so at all. */
export function checkGeometry({ zones, channels }: Parts): Finding[] {
  const byId = new Map(channels.map(({ value }) => [value.id, value]))
  return zones.flatMap(({ value: zone, path }) => {
    const neighbour = neighbourRule(zone, path)
    const { geometry } = zone
    if (geometry === undefined) return neighbour
    const at = [...path, 'geometry']
    const findings = [
      ...neighbour,
      ...sidesRule(zone, geometry, at),
      ...needs(zone, geometry, path),
      ...names(zone, geometry, at),
    ]
    return findings.length > 0 ? findings : pathRule(zone, at, byId)
  })
}

/** The channel tells a diameter: it needs a winding roll to be the diameter of. */
function neighbourRule({ id, neighbour, geometry }: ZoneConfig, path: ConfigPath): Finding[] {
  if (neighbour === undefined || geometry?.moving?.kind === 'winding-roll') return []
  const message = `zone ${id}: neighbour: no winding roll is described whose diameter it could tell (geometry.moving of kind winding-roll)`
  return [wrongKey([...path, 'neighbour'], message)]
}

function sidesRule({ id, cells }: ZoneConfig, geometry: GeometryConfig, at: ConfigPath): Finding[] {
  const isSingle = 'single' in cells
  const wanted = isSingle ? 'single' : 'drive_side and operator_side'
  const perSide = (['arrows_deg', 'output'] as const).flatMap((key) => {
    const given = geometry[key]
    if (given === undefined || 'single' in given === isSingle) return []
    return [wrong([...at, key], `zone ${id}: geometry: ${key} has other sides than cells; expected ${wanted}`)]
  })
  const isCantilever = geometry.roller_kind === 'cantilever'
  if (isCantilever === isSingle) return perSide
  const message = `zone ${id}: geometry: roller_kind ${geometry.roller_kind} has ${isCantilever ? 'one cell' : 'two cells'}, and cells names ${isSingle ? 'one' : 'two'}`
  // The kind has a default: where it was not written there is nothing to point at but the geometry.
  return [...perSide, wrong(at, message)]
}

function needs(zone: ZoneConfig, geometry: GeometryConfig, path: ConfigPath): Finding[] {
  const findings: Finding[] = []
  const missing = (key: string, what: string) =>
    findings.push(wrong([...path, 'geometry'], `zone ${zone.id}: ${key} is missing; ${what}`))
  if (!('single' in zone.cells) && zone.cell_distance_m === undefined)
    missing('cell_distance_m', 'the geometry of two cells needs the distance between them')
  if (zone.web_width_m === undefined && (geometry.basis_weight_gsm > 0 || geometry.air !== undefined))
    missing('web_width_m', 'the weight of the web and the air film need it')
  if (geometry.target.kind === 'bisector-at' && geometry.moving === undefined)
    findings.push(
      wrong(
        [...path, 'geometry', 'target'],
        `zone ${zone.id}: geometry: target bisector-at needs a neighbour that moves (geometry.moving)`,
      ),
    )
  return findings
}

/** Two rollers of one name could not be told apart in a sentence. */
function names({ id }: ZoneConfig, { rollers }: GeometryConfig, at: ConfigPath): Finding[] {
  const all = [...rollers.before, rollers.measuring, ...rollers.after].map(({ name }) => name)
  const twice = all.find((name, i) => all.indexOf(name) !== i)
  return twice === undefined
    ? []
    : [wrong([...at, 'rollers'], `zone ${id}: geometry: two rollers are named ${twice}; give each its own name`)]
}

function pathRule(zone: ZoneConfig, at: ConfigPath, channels: ReadonlyMap<string, ChannelConfig>): Finding[] {
  const cells = Object.values(zone.cells).map((id) => channels.get(id))
  if (cells.some((cell) => cell?.force === undefined)) return []
  const configured = geometryFromConfig(zone, channels)
  if (configured === undefined) return []
  const result = expectedOf(configured.geometry, usualState(zone, configured))
  if (!result.possible)
    return [wrong([...at, 'rollers'], `zone ${zone.id}: geometry: ${pathFaultSentence(result.fault)}`)]
  return entriesOf(result.expected.sides).flatMap(([side, { forceFactor }]) =>
    Math.abs(forceFactor) < LEAST_FORCE_FACTOR
      ? [
          wrong(
            [...at, 'arrows_deg'],
            `zone ${zone.id}: geometry: the arrow of ${SIDE_WORDS[side]} stands square to the pull of the web and sees no tension`,
          ),
        ]
      : [],
  )
}
