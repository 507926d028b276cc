import type { AlarmList } from '../../shared/schemas/alarms.ts'
import type { StoredEvent } from '../../shared/schemas/events.ts'
import type { DeviceHealth } from '../../shared/schemas/health.ts'
import type { ZoneNow } from '../../shared/schemas/now.ts'

/** What pages see at one moment. */
export interface Picture {
  readonly zones: readonly ZoneNow[]
  readonly devices: readonly DeviceHealth[]
  /** Of the zones, by id. */
  readonly names: ReadonlyMap<string, string>
  /** Of the config in force. */
  readonly revision: string
}

/** Where messages are sent on to. Everything it is told returns at once. */
export interface Destination {
  /** About four times a second. */
  look(picture: Picture): void
  event(event: StoredEvent): void
  /** At every transition of an alarm. */
  alarms(list: AlarmList): void
  close(): Promise<void>
}
