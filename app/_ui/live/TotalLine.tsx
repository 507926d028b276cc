'use client'

import type { ZoneNow } from '../../../shared/schemas/now.ts'
import type { ZoneInfo } from '../../../shared/schemas/zones.ts'
import { formatDuration } from '../format.ts'
import { sidesOf } from '../sides.ts'
import { toldFigure } from '../told-figure.ts'
import { useUnits } from '../units.tsx'
import styles from './TotalLine.module.css'
import { totalState } from './total-state.ts'

function totalTitle(zone: ZoneInfo): string {
  if (zone.totalMeans === 'tension') return 'Web tension'
  return sidesOf(zone).length === 1 ? 'Force along the arrow' : 'Force along both arrows'
}

/** Both sides together, per width where the width is known, and how fast the total changes (never judged). */
export function TotalLine({ zone, fresh }: { readonly zone: ZoneInfo; readonly fresh: ZoneNow | null }) {
  const units = useUnits()
  const isTension = zone.totalMeans === 'tension'
  const total = fresh?.total ?? null
  const rate = fresh?.rateOfTotal ?? null
  const shown = total === null ? null : toldFigure(total, units)
  const width = zone.webWidthM
  const perWidth =
    !isTension || width === null || total?.value == null
      ? null
      : units.figure(total.value / width, total.U === null ? null : total.U / width, 'N/m')
  return (
    <div className={styles.total} data-testid="total" data-state={shown === null ? 'unknown' : 'good'}>
      <h2>{totalTitle(zone)}</h2>
      <p className={styles.figure}>
        {shown === null ? (
          <span className={styles.none}>{totalState(fresh)}</span>
        ) : (
          <>
            <span className={styles.number}>{shown.value}</span>
            {total?.U === null ? ` ${shown.unit}, ` : ' '}
            {shown.worth}
          </>
        )}
      </p>
      <p className={styles.more}>
        {shown === null
          ? (total?.waiting ?? 'no picture from the gateway')
          : `mean of ${formatDuration(total?.window?.seconds ?? 0)}`}
        {perWidth !== null && <span>{perWidth.text} of web width</span>}
        {rate?.value != null && <span>changing by {units.figure(rate.value, rate.U, rate.unit).text}, not judged</span>}
      </p>
    </div>
  )
}
