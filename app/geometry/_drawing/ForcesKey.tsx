import { useUnits } from '../../_ui/units.tsx'
import type { Figures } from '../_model/compute.ts'
import styles from './SideView.module.css'

/** What the pale arrows of the picture stand for, in numbers. */
export function ForcesKey({ figures }: { readonly figures: Figures | null }) {
  const units = useUnits()
  if (figures === null) return <p className={styles.key}>No forces are drawn for a layout that cannot be.</p>
  const { state, expected } = figures.levels.normal
  const { roller, gravity } = figures.configured.geometry
  const span = Math.max(0, state.tension - expected.momentum)
  const pull = span * Math.hypot(expected.wrap.pull.x, expected.wrap.pull.y)
  return (
    <p className={styles.key} data-testid="forces-key">
      Pale arrows, all to one scale, at normal tension: {units.plain(span, 'N', false)} in each span (tension less
      m·v²), their resultant of {units.plain(pull, 'N', false)} on the roller, and dashed its weight of{' '}
      {units.plain(roller.mass * gravity, 'N', false)}.
    </p>
  )
}
