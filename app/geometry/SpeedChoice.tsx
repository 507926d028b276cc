import { Choice } from '../_ui/shell/Menu.tsx'
import { useUnits } from '../_ui/units.tsx'
import styles from './Geometry.module.css'

interface SpeedChoiceProps {
  readonly isStanding: boolean
  readonly onChoose: (isStanding: boolean) => void
  /** m/s */
  readonly fastest: number
  /** m v² at the chosen speed, N; null while nothing is told. */
  readonly momentum: number | null
}

/** Whether the figures are for the running or the standing web. */
export function SpeedChoice({ isStanding, onChoose, fastest, momentum }: SpeedChoiceProps) {
  const units = useUnits()
  return (
    <div className={styles.speed}>
      <Choice
        title="Figures for a web that"
        name="speed"
        options={['runs', 'stands']}
        chosen={isStanding ? 'stands' : 'runs'}
        words={{ runs: `runs at ${units.plain(fastest, 'm/s', false)}`, stands: 'stands still' }}
        onChoose={(option) => onChoose(option === 'stands')}
      />
      <p className={styles.soft}>
        {momentum === null ? ' ' : `m·v² takes ${units.plain(momentum, 'N', false)} of web tension off the roller.`}
      </p>
    </div>
  )
}
