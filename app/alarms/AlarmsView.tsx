'use client'

import { AlarmList } from '../shift/_alarms/AlarmList.tsx'
import styles from './AlarmsView.module.css'

/** What calls, what was put aside, and what is off: of every zone, and of the gateway itself. */
export function AlarmsView() {
  return (
    <div className={styles.page}>
      <header className={styles.intro}>
        <h1>Alarms</h1>
        <p>
          An alarm is announced when a verdict stays outside its limit; undecided never is. Without data it is unknown,
          not normal. This product is a monitor, not a safety device.
        </p>
      </header>
      <AlarmList zone={null} />
    </div>
  )
}
