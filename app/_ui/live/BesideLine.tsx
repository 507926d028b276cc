import { qualityOf } from '../../../shared/quality.ts'
import type { AuxRole } from '../../../shared/sample.ts'
import type { Live, ZoneNow } from '../../../shared/schemas/now.ts'
import type { ZoneInfo } from '../../../shared/schemas/zones.ts'
import { reasonInWords } from '../../_plots/reason.ts'
import { sidesOf } from '../sides.ts'
import { type Units, useUnits } from '../units.tsx'
import styles from './BesideLine.module.css'

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
        <div key={role}>
          <dt>{ROLES[role]}</dt>
          <dd data-testid={`beside-${role}`}>{inWords(fresh === null ? null : (fresh.aux[role] ?? null), units)}</dd>
        </div>
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

function inWords(live: Live | null, units: Units): string {
  if (live === null) return 'unknown'
  const quality = qualityOf(live.code)
  if (quality === 'bad' || live.value === null) return `unknown: ${reasonInWords(live.code)}`
  const { text } = units.figure(live.value, null, live.unit)
  return quality === 'uncertain' ? `${text}, uncertain: ${reasonInWords(live.code)}` : text
}
