import { qualityOf } from '../../../shared/quality.ts'
import type { ZoneInfo } from '../../../shared/schemas/zones.ts'
import { reasonInWords } from '../../_plots/reason.ts'
import { useFreshZone } from '../../_stream/age.ts'
import { formatSignificant, NBSP } from '../../_ui/format.ts'
import { SideSwatch } from '../../_ui/SideSwatch.tsx'
import { SIDES, sideNow, sidesOf } from '../../_ui/sides.ts'
import { useUnits } from '../../_ui/units.tsx'
import styles from '../Verification.module.css'
import liveStyles from './Live.module.css'

/** Both ends as they read at this moment: large, for somebody at arm's length. */
export function LiveSides({ zone }: { readonly zone: ZoneInfo }) {
  const { fresh } = useFreshZone(zone.id)
  const units = useUnits()
  return (
    <dl className={liveStyles.live} data-testid="live-sides">
      {sidesOf(zone).map((side) => {
        const live = sideNow(fresh, side)?.live ?? null
        const isUsable = live !== null && live.value !== null && qualityOf(live.code) !== 'bad'
        return (
          <div key={side}>
            <dt>
              <SideSwatch side={side} />
              {SIDES[side].title}
            </dt>
            <dd>
              {isUsable ? (
                <>
                  <span className={liveStyles.liveNumber}>{units.figure(live.value ?? 0, null, live.unit).text}</span>
                  <span className={styles.soft}>
                    {live.electrical === null
                      ? ''
                      : `${formatSignificant(live.electrical)}${NBSP}${live.electricalUnit}, `}
                    newest sample, not averaged
                  </span>
                </>
              ) : (
                <>
                  <span className={liveStyles.liveNumber}>unknown</span>
                  <span className={styles.soft}>
                    {live === null ? 'no picture from the gateway' : reasonInWords(live.code)}
                  </span>
                </>
              )}
            </dd>
          </div>
        )
      })}
    </dl>
  )
}
