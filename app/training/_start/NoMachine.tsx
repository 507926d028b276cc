import { CopyText } from '../../_ui/CopyText.tsx'
import styles from '../Training.module.css'

const COMMAND = 'npm run evenpull -- simulate'

/** A gateway at a real line has nothing to hide faults in: how to get one that has. */
export function NoMachine() {
  return (
    <div className={styles.page} data-testid="no-machine">
      <h1>Training: can you find it?</h1>
      <p className={styles.lead}>
        A simulated line with hidden faults, to look for with the stages of Verification, the instruments of Live and
        the hands of a technician.
      </p>
      <p className={styles.lead}>
        This gateway reads a line of its own and has no training machine. On any computer with Evenpull, this command
        starts one beside it and prints its address; it needs no network and touches no real device.
      </p>
      <CopyText text={COMMAND} label="Command that starts the training machine" />
    </div>
  )
}
