import { ticksOf } from '../../lib/store-codec/times.ts'
import { rolesOf } from '../zone-roles.ts'
import type { ChannelNumbers } from './channel-numbers.ts'
import { type Database, prepared, transaction } from './driver.ts'
import { orSaid } from './or-said.ts'
import type { RevisionScales } from './revision-scales.ts'

/** A range of time of a zone, epoch ms. */
export interface ZoneRange {
  readonly zone: string
  readonly fromMs: number
  readonly toMs: number
}

/**
 * Names a range of a zone that outlives every limit; the same name again replaces it. Throws EVP_STORE_FULL or
 * EVP_STORE_WRITE, and what was there before stays.
 */
export function protectRange(
  db: Database,
  numbers: ChannelNumbers,
  name: string,
  { zone, fromMs, toMs }: ZoneRange,
): void {
  orSaid(() =>
    transaction(db, () => {
      const insert = prepared(db, 'INSERT INTO protected (name, zone, channel, t0, t1) VALUES (?, ?, ?, ?, ?)')
      unprotectRange(db, name)
      for (const channel of channelsEverIn(db, zone))
        insert.run(name, zone, numbers.of(channel), ticksOf(fromMs), ticksOf(toMs))
    }),
  )
}

export function unprotectRange(db: Database, name: string): void {
  prepared(db, 'DELETE FROM protected WHERE name = ?').run(name)
}

function channelsEverIn(db: Database, zone: string): ReadonlySet<string> {
  const revisions = prepared(db, 'SELECT config FROM revision').all() as { config: string }[]
  const names = revisions.flatMap(({ config }) => {
    const found = (JSON.parse(config) as RevisionScales).zones.find((one) => one.zone.id === zone)
    return found === undefined ? [] : rolesOf(found.zone).map(([, channel]) => channel)
  })
  return new Set(names)
}
