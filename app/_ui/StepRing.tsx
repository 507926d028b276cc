import styles from './StepRing.module.css'

const RADIUS = 26
const AROUND = 2 * Math.PI * RADIUS

/** How much of the wait is over, as a ring; what it waits for stands beside it in words. */
export function StepRing({ share }: { readonly share: number }) {
  const percent = Math.round(100 * Math.min(1, Math.max(0, share)))
  return (
    <svg
      className={styles.ring}
      viewBox="0 0 64 64"
      role="progressbar"
      aria-label="Steady so far"
      aria-valuemin={0}
      aria-valuemax={100}
      aria-valuenow={percent}
    >
      <circle className={styles.ringGround} cx="32" cy="32" r={RADIUS} />
      <circle
        className={styles.ringDone}
        cx="32"
        cy="32"
        r={RADIUS}
        strokeDasharray={`${(AROUND * percent) / 100} ${AROUND}`}
        transform="rotate(-90 32 32)"
      />
    </svg>
  )
}
