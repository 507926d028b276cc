import type { Config } from '../../shared/schemas/config.ts'
import type { RangeFacts } from '../recorder/range-facts.ts'
import type { ZoneRole } from '../zone-roles.ts'

/** What an export says of itself, whatever its format: a reader years later has nothing else. */
export interface ExportFacts {
  readonly product: string
  /** Version of this layout; a change that a reader could trip over gets a new number. */
  readonly layout: 1
  readonly plant: string | null
  readonly line: string | null
  readonly zone: string
  readonly zoneName: string
  readonly fromMs: number
  readonly toMs: number
  readonly madeMs: number
  readonly columns: readonly ExportColumn[]
  readonly revisions: RangeFacts['revisions']
}

export interface ExportColumn {
  readonly name: ZoneRole
  /** SI unit of its values. */
  readonly unit: string
  readonly meaning: string
}

const MEANINGS: Readonly<Record<ZoneRole, string>> = {
  drive_side: 'force along the arrow of the drive side',
  operator_side: 'force along the arrow of the operator side',
  single: 'force along the arrow of the one cell',
  speed: 'web speed',
  roller_speed: 'turns of the measuring roller a second',
  reference: 'set tension of the web',
  temperature: 'temperature',
  neighbour: 'diameter of the winding roll beside the measuring roller',
}

export interface ExportRange {
  readonly zone: string
  readonly fromMs: number
  readonly toMs: number
}

/** `version` is the product's; `kept` what the store holds of the range. */
export function exportFacts(
  { zone, fromMs, toMs }: ExportRange,
  config: Config,
  kept: RangeFacts,
  version: string,
  madeMs: number,
): ExportFacts {
  return {
    product: `Evenpull ${version}`,
    layout: 1,
    plant: config.plant ?? null,
    line: config.line ?? null,
    zone,
    zoneName: config.zones.find(({ id }) => id === zone)?.name ?? zone,
    fromMs,
    toMs,
    madeMs,
    columns: kept.columns.map(({ role, unit }) => ({ name: role, unit, meaning: MEANINGS[role] })),
    revisions: kept.revisions,
  }
}

/** `coater-2026-11-26T0600Z-to-2026-11-26T1400Z.csv`: safe on every file system. */
export function exportFileName({ zone, fromMs, toMs }: ExportRange, ending: string): string {
  const minute = (ms: number) => `${new Date(ms).toISOString().slice(0, 16).replace(':', '')}Z`
  return `${zone}-${minute(fromMs)}-to-${minute(toMs)}.${ending}`
}
