import type { VerificationPlan } from '../../../shared/schemas/verification/plan.ts'
import styles from '../Verification.module.css'
import liveStyles from './Live.module.css'

/** Which way to push: the pull of the web on the roller, in the side view of the geometry (downstream to the right, up is up). */
export function PushDrawing({ plan }: { readonly plan: VerificationPlan }) {
  if (plan.resultant === null)
    return <p className={styles.soft}>Without geometry: push towards where the web pulls the roller.</p>
  const [x, y] = [Math.cos(plan.resultant), -Math.sin(plan.resultant)]
  const at = (r: number) => `${(60 + r * x).toFixed(1)} ${(60 + r * y).toFixed(1)}`
  const [px, py] = [-y, x]
  const tip = (r: number, side: number) =>
    `${(60 + r * x + side * px).toFixed(1)} ${(60 + r * y + side * py).toFixed(1)}`
  return (
    <figure className={liveStyles.push}>
      <svg
        viewBox="0 0 120 120"
        role="img"
        aria-label="The way the web pulls the roller, seen with downstream to the right"
      >
        <circle cx="60" cy="60" r="20" className={liveStyles.pushRoller} />
        <path d={`M${at(22)}L${at(46)}`} className={liveStyles.pushShaft} />
        <path d={`M${at(56)}L${tip(44, 7)}L${tip(44, -7)}Z`} className={liveStyles.pushTip} />
      </svg>
      <figcaption>
        Push along this arrow, at each end. Drawn with downstream to the right: seen from the other end of the roller it
        mirrors; up stays up.
      </figcaption>
    </figure>
  )
}
