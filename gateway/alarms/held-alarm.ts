import type { AlarmState } from '../../lib/alarms/state.ts'
import type { AlarmReading } from '../../shared/schemas/alarms.ts'
import type { DefinedAlarm } from './defined-alarm.ts'

/** One alarm of the config with what it remembers and what it sees. */
export interface HeldAlarm {
  readonly alarm: DefinedAlarm
  state: AlarmState
  now: AlarmReading | null
  /** What it saw when it was last announced, or began while shelved; null while nothing is, or was, wrong. */
  announced: AlarmReading | null
}
