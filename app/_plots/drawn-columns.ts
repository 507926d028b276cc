import type { AuxRole, Side } from '../../shared/sample.ts'
import type { ZoneInfo } from '../../shared/schemas/zones.ts'
import type { UnitChoice } from '../../shared/unit-choice.ts'
import { conversionOf } from '../_ui/format.ts'
import { SIDES, sidesOf } from '../_ui/sides.ts'
import type { LinearMap } from './picture.ts'
import type { TraceTone } from './plot-theme.ts'

/** One column of the stream as this page draws it. */
export interface DrawnColumn {
  /** Index into the zone's columns. */
  readonly index: number
  readonly name: Side | AuxRole
  /** As it stands in a sentence. */
  readonly label: string
  readonly tone: TraceTone
  readonly isDashed: boolean
  /** Streamed SI value → shown value. */
  readonly map: LinearMap
  readonly unit: string
}

const TONES: Record<Side, TraceTone> = { drive_side: 'drive', operator_side: 'operator', single: 'neutral' }

const AUX: Record<AuxRole, { readonly label: string; readonly si: string }> = {
  speed: { label: 'web speed', si: 'm/s' },
  roller_speed: { label: 'roller turn rate', si: '1/s' },
  reference: { label: 'set tension', si: 'N' },
  temperature: { label: 'temperature', si: '°C' },
  neighbour: { label: 'roll diameter', si: 'm' },
}

export function auxLabel(role: AuxRole): string {
  return AUX[role].label
}

export function auxRolesOf(zone: ZoneInfo): readonly AuxRole[] {
  return zone.columns.filter((column): column is AuxRole => column in AUX)
}

function mapOf(si: string, choice: UnitChoice, divisor: number): { map: LinearMap; unit: string } {
  const { value, unit } = conversionOf(si, choice)
  const offset = value(0)
  return { map: { factor: (value(1) - offset) / divisor, offset }, unit }
}

/** The sides of a zone, as web tension where the force factor is known, else as force along the arrow. */
export function drawnSides(zone: ZoneInfo, choice: UnitChoice): DrawnColumn[] {
  return sidesOf(zone).map((side) => ({
    index: zone.columns.indexOf(side),
    name: side,
    label: SIDES[side].name,
    tone: TONES[side],
    isDashed: SIDES[side].dash !== null,
    ...mapOf('N', choice, zone.totalMeans === 'tension' ? (zone.forceFactor?.[side] ?? 1) : 1),
  }))
}

/** What the traces of a zone show, for the axis. */
export function tracedQuantity(zone: ZoneInfo): string {
  const isTension = zone.totalMeans === 'tension' && sidesOf(zone).every((side) => zone.forceFactor?.[side])
  if (!isTension) return 'force along each arrow'
  return (zone.webMassKgM ?? 0) > 0 ? 'web tension less m·v², on each side' : 'web tension on each side'
}

export function drawnAux(zone: ZoneInfo, role: AuxRole, choice: UnitChoice): DrawnColumn {
  const { label, si } = AUX[role]
  return {
    index: zone.columns.indexOf(role),
    name: role,
    label,
    tone: 'neutral',
    isDashed: false,
    ...mapOf(si, choice, 1),
  }
}
