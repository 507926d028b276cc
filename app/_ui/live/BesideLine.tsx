'use client'

import { qualityOf } from '../../../shared/quality.ts'
import type { AuxRole } from '../../../shared/sample.ts'
import type { Live, ZoneNow } from '../../../shared/schemas/now.ts'
import type { ZoneInfo } from '../../../shared/schemas/zones.ts'
import { useAge } from '../../_stream/age.ts'
import { formatAge } from '../format.ts'
import { sidesOf } from '../sides.ts'
import { useUnits } from '../units.tsx'
import styles from './BesideLine.module.css'
import { newestInWords } from './newest-words.ts'

const ROLES: Record<AuxRole, string> = {
  speed: 'Web speed',
  roller_speed: 'Roller speed',
  reference: 'Set tension',
  temperature: 'Temperature',
  neighbour: 'Roll diameter',
}

/** What the zone reads beside its cells, newest samples, and how far apart in time its sides are read. */
export function BesideLine({ zone, fresh }: { readonly zone: ZoneInfo; readonly fresh: ZoneNow | null }) {
  const units = useUnits()
  const roles = zone.columns.filter((column): column is AuxRole => column in ROLES)
  const skew = fresh?.skew
  const hasTwoSides = sidesOf(zone).length === 2
  if (roles.length === 0 && !hasTwoSides) return null
  return (
    <dl className={styles.beside}>
      {roles.map((role) => (
        <AuxTerm key={role} role={role} live={fresh?.aux[role] ?? null} />
      ))}
      {hasTwoSides && (
        <div>
          <dt>Sides read apart by</dt>
          <dd>{skew?.value == null ? 'unknown' : units.figure(skew.value, skew.U, skew.unit).text}</dd>
        </div>
      )}
    </dl>
  )
}

/** One of them: its newest sample with its uncertainty and age, or why there is none. */
function AuxTerm({ role, live }: { readonly role: AuxRole; readonly live: Live | null }) {
  const units = useUnits()
  const isShown = live !== null && live.value !== null && qualityOf(live.code) !== 'bad'
  const age = useAge(isShown ? live.timeMs : null)
  return (
    <div>
      <dt>{ROLES[role]}</dt>
      <dd data-testid={`beside-${role}`}>
        {newestInWords(live, units)}
        {age !== null && (
          <>
            , <span className={styles.age}>{formatAge(age)} old</span>
          </>
        )}
      </dd>
    </div>
  )
}
