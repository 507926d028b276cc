import { useHello } from '../../_stream/store.ts'
import { setQuery } from '../../_ui/query.ts'
import { sidesOf } from '../../_ui/sides.ts'
import styles from './Calibration.module.css'

/** The way to the calibration of each zone. */
export function CalibrationEntry() {
  const zones = useHello()?.zones.zones ?? []
  const open = (zone: string, isZero: boolean) => {
    setQuery('calibrate', zone, 'push')
    setQuery('do', isZero ? 'zero' : null, 'replace')
    scrollTo(0, 0)
  }
  return (
    <ul className={styles.entries} data-testid="calibration-entry">
      {zones.map((zone) => (
        <li key={zone.id}>
          <span className={styles.entryName}>
            {zone.name}
            <span className={styles.soft}>
              {sidesOf(zone).length === 1 ? 'one cell' : 'both sides at once, or one'}
            </span>
          </span>
          <button type="button" className="control" onClick={() => open(zone.id, false)}>
            Calibrate with known weights<span className="heard-only">, {zone.name}</span>
          </button>
          <button type="button" className="control" onClick={() => open(zone.id, true)}>
            Take zero<span className="heard-only"> of {zone.name}</span>
          </button>
        </li>
      ))}
    </ul>
  )
}
