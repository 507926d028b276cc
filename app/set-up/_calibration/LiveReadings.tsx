import type { Side } from '../../../shared/sample.ts'
import type { GeometryView } from '../../../shared/schemas/config-write.ts'
import { reasonInWords } from '../../_plots/reason.ts'
import { useFreshZone } from '../../_stream/age.ts'
import { formatNumber, NBSP } from '../../_ui/format.ts'
import { SideSwatch } from '../../_ui/SideSwatch.tsx'
import { SIDES, sideNow } from '../../_ui/sides.ts'
import { useUnits } from '../../_ui/units.tsx'
import styles from './Calibration.module.css'
import { decimalsOf } from './reading-words.ts'

/** What each cell reads at this moment, in its own unit and as force with the scale in force. */
export function LiveReadings({ view, sides }: { readonly view: GeometryView; readonly sides: readonly Side[] }) {
  const units = useUnits()
  const { fresh } = useFreshZone(view.zone.id)
  return (
    <dl className={styles.live} data-testid="live-readings">
      {sides.map((side) => {
        const live = sideNow(fresh, side)?.live
        const cell = view.zone.cells[side]
        const unit = cell?.electricalUnit ?? 'counts'
        const reading = cell?.electricalUnit === null ? live?.raw : live?.electrical
        const isShown = live?.code === 'good' && reading != null && live.value !== null
        return (
          <div key={side} data-side={side}>
            <dt>
              <SideSwatch side={side} /> {SIDES[side].title}
            </dt>
            <dd data-testid={`live-${side}`}>
              {isShown ? (
                <>
                  <span className={styles.liveNumber}>
                    {formatNumber(reading, decimalsOf(cell?.step ?? null, reading))}
                    {NBSP}
                    {unit}
                  </span>{' '}
                  <span className={styles.soft}>{units.figure(live.value ?? 0, null, 'N').text}</span>
                </>
              ) : (
                <span>no reading: {live === undefined ? 'nothing is heard' : reasonInWords(live.code)}</span>
              )}
            </dd>
          </div>
        )
      })}
    </dl>
  )
}
