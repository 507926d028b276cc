import { AUX_ROLES, type AuxRole, type Side } from '../shared/sample.ts'
import type { ZoneConfig } from '../shared/schemas/config.ts'

export type ZoneRole = Side | AuxRole

/** Which channel plays which role in a zone; sides first. */
export function rolesOf(zone: ZoneConfig): readonly (readonly [ZoneRole, string])[] {
  const sides = Object.entries(zone.cells) as [Side, string][]
  const aux = AUX_ROLES.flatMap((role) => {
    const channel = zone[role]
    return channel === undefined ? [] : [[role, channel] as const]
  })
  return [...sides, ...aux]
}
