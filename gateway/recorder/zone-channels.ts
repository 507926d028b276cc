import { QUANTITY_OF } from '../../lib/scale/value.ts'
import { rolesOf, type ZoneRole } from '../zone-roles.ts'
import { type RevisionTable, zoneIn } from './revision-table.ts'

/** A stretch of time in which one channel played one role. */
export interface ChannelStretch {
  readonly channel: number
  readonly fromMs: number
  readonly toMs: number
}

export interface RoleChannels {
  readonly unit: string
  readonly stretches: ChannelStretch[]
}

/** Which channels played which roles of a zone in a range; a role whose channel changed has a stretch for each. */
export function channelsOf(
  revisions: RevisionTable,
  zoneId: string,
  fromMs: number,
  toMs: number,
): Map<ZoneRole, RoleChannels> {
  const roles = new Map<ZoneRole, RoleChannels>()
  for (const [i, revision] of revisions.inRange(fromMs, toMs).entries()) {
    const found = zoneIn(revision.scales, zoneId)
    if (found === undefined) continue
    for (const [role, id] of rolesOf(found.zone)) {
      const channel = revisions.channelNumber(id)
      const config = revision.scales.channels.find((one) => one.id === id)
      if (channel === undefined || config === undefined) continue
      const own = roles.get(role) ?? { unit: QUANTITY_OF[config.measures].si, stretches: [] }
      const from = i === 0 ? fromMs : Math.max(fromMs, revision.fromMs)
      addStretch(own.stretches, { channel, fromMs: from, toMs: Math.min(toMs, revision.toMs) })
      roles.set(role, own)
    }
  }
  return roles
}

function addStretch(stretches: ChannelStretch[], next: ChannelStretch): void {
  const last = stretches.at(-1)
  if (last?.channel === next.channel && last.toMs === next.fromMs)
    stretches[stretches.length - 1] = { ...last, toMs: next.toMs }
  else stretches.push(next)
}
