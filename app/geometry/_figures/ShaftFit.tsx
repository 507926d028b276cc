import { END_CLEARANCE } from '../../../lib/geometry/shaft-growth.ts'
import { formatNumber, NBSP } from '../../_ui/format.ts'
import { useUnits } from '../../_ui/units.tsx'
import type { Figures } from '../_model/compute.ts'
import { Explained } from './Explained.tsx'
import styles from './Figures.module.css'

const perMillion = (value: number): string => `${formatNumber(value * 1e6, 1)}e-6/K`

/** Growth of the shaft against the clearance at its ends. */
export function ShaftFit({ figures }: { readonly figures: Figures }) {
  const units = useUnits()
  const { fit } = figures.configured.geometry
  const told = figures.levels.normal.expected.fit
  if (fit === null || told === null)
    return (
      <p className={styles.soft}>
        No end clearance is entered. A shaft that grows beyond it pushes the cells sideways: enter clearance, materials
        and warming under “Shaft and ends”.
      </p>
    )
  const { growth: g, ends } = fit
  return (
    <ul className={styles.rows}>
      <Explained
        title="Shaft growth"
        meaning="of the shaft against the frame, from fitting to running"
        explanation={{
          formula:
            'growth = L·(α_shaft·ΔT_shaft − α_frame·ΔT_frame); clearance left = clearance − growth (half of it where both ends share it)',
          numbers: [
            `${formatNumber(g.length, 3)} m × (${perMillion(g.shaftExpansion)} × ${formatNumber(g.shaftWarming, 1)} K − ${perMillion(g.frameExpansion)} × ${formatNumber(g.frameWarming, 1)} K) = ${formatNumber(1000 * told.growth, 2)} mm`,
            `${formatNumber(1000 * ends.clearance, 2)} mm − ${formatNumber(1000 * (ends.shared ? told.growth / 2 : told.growth), 2)} mm = ${formatNumber(1000 * told.left, 2)} mm left`,
          ],
          source: `linear thermal expansion; a clearance of ${1000 * END_CLEARANCE.least} to ${1000 * END_CLEARANCE.most} mm is common practice, no source`,
          inputs: [],
        }}
        testId="figure-growth"
      >
        <p>{units.plain(told.growth, 'm', true)}</p>
        <p className={styles.soft} data-over={told.left <= 0}>
          of {units.plain(ends.clearance, 'm', true)}
          {NBSP}
          {told.left > 0 ? `clearance, ${units.plain(told.left, 'm', true)} left` : 'clearance: more than there is'}
        </p>
      </Explained>
    </ul>
  )
}
