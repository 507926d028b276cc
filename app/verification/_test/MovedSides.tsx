import type { ZoneInfo } from '../../../shared/schemas/zones.ts'
import { useZoneNow } from '../../_stream/store.ts'
import { SideSwatch } from '../../_ui/SideSwatch.tsx'
import { SIDES, sideNow } from '../../_ui/sides.ts'
import { useUnits } from '../../_ui/units.tsx'
import type { SideMoved } from '../_model/movement-so-far.ts'
import styles from '../Verification.module.css'
import liveStyles from './Live.module.css'

interface MovedSidesProps {
  readonly zone: ZoneInfo
  readonly moved: readonly SideMoved[]
}

/** Both ends while one of them is pushed: what each reads, and how far it is from its rest. */
export function MovedSides({ zone, moved }: MovedSidesProps) {
  const units = useUnits()
  const now = useZoneNow(zone.id)
  return (
    <dl className={liveStyles.moved} data-testid="moved-sides">
      {moved.map(({ side, newest, change }) => {
        const unit = sideNow(now, side)?.live.unit ?? 'N'
        return (
          <div key={side} data-testid={`moved-${side}`}>
            <dt>
              <SideSwatch side={side} />
              {SIDES[side].title}
            </dt>
            <dd>
              <span className={liveStyles.movedNumber} data-testid={`moved-by-${side}`}>
                {change === null ? '–' : signed(units.difference(change.value, change.U, unit).text, change.value)}
              </span>
              <span className={styles.soft}>
                {change === null ? 'change: known after the rest' : 'change since the rest'}; newest sample{' '}
                {newest === null ? 'unknown' : units.figure(newest, null, unit).text}
              </span>
            </dd>
          </div>
        )
      })}
    </dl>
  )
}

const signed = (text: string, value: number): string => (value > 0 && !text.startsWith('0 ') ? `+${text}` : text)
