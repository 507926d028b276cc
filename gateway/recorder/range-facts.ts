import { QUANTITY_OF } from '../../lib/scale/value.ts'
import { ticksOf } from '../../lib/store-codec/times.ts'
import { rolesOf, type ZoneRole } from '../zone-roles.ts'
import type { ChunkSource } from './chunk-source.ts'
import { type RevisionTable, zoneIn } from './revision-table.ts'
import { channelsOf } from './zone-channels.ts'

/** What the store holds of a zone in a range, told without reading a sample. */
export interface RangeFacts {
  /** Every role that any revision of the range gave the zone, with its SI unit; sides first. */
  readonly columns: readonly { readonly role: ZoneRole; readonly unit: string }[]
  /** Revisions in force, oldest first; the first one also before `fromMs`. */
  readonly revisions: readonly {
    readonly revision: string
    readonly fromMs: number
    readonly channels: Readonly<Partial<Record<ZoneRole, string>>>
  }[]
  /** Samples of the fullest column: about the rows that will come; chunks that only touch the range count whole. */
  readonly about: number
}

/** Undefined when no revision ever had the zone. */
export function rangeFactsOf(
  revisions: RevisionTable,
  chunks: ChunkSource,
  zoneId: string,
  fromMs: number,
  toMs: number,
): RangeFacts | undefined {
  const newest = revisions.newestOf(zoneId)
  if (newest === undefined) return undefined
  const inForce = revisions.inRange(fromMs, toMs)
  const units = new Map<ZoneRole, string>()
  const told = inForce.map(({ revision, fromMs: since, scales }) => {
    const found = zoneIn(scales, zoneId)
    const roles = found === undefined ? [] : rolesOf(found.zone)
    for (const [role, id] of roles) {
      const config = scales.channels.find((channel) => channel.id === id)
      if (config !== undefined && !units.has(role)) units.set(role, QUANTITY_OF[config.measures].si)
    }
    return { revision, fromMs: since, channels: Object.fromEntries(roles) }
  })
  const counts = [...channelsOf(revisions, zoneId, fromMs, toMs).values()].map(({ stretches }) =>
    stretches.reduce((sum, s) => sum + chunks.count(s.channel, ticksOf(s.fromMs), ticksOf(s.toMs)), 0),
  )
  return {
    columns: [...units].map(([role, unit]) => ({ role, unit })),
    revisions: told,
    about: Math.max(0, ...counts),
  }
}
