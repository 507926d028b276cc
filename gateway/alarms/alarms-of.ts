import type { AlarmOff } from '../../shared/schemas/alarms.ts'
import type { Config } from '../../shared/schemas/config.ts'
import { type DefinedAlarm, defined } from './defined-alarm.ts'
import { gatewayAlarms } from './gateway-alarms.ts'
import { zoneAlarms } from './zone-alarms.ts'

export interface ConfiguredAlarms {
  readonly alarms: readonly DefinedAlarm[]
  /** What there could be and is not. */
  readonly off: readonly AlarmOff[]
}

/** Every alarm of a config, and those that it turns off or that cannot be. */
export function alarmsOf(config: Config): ConfiguredAlarms {
  const longestMs = config.alarms.longest_shelving_h * 3_600_000
  const all = [
    ...config.zones.flatMap((zone) =>
      zoneAlarms(zone).map((kind) => defined(kind, { id: zone.id, name: zone.name ?? zone.id }, longestMs)),
    ),
    ...gatewayAlarms(config).map((kind) => defined(kind, null, longestMs)),
  ]
  return {
    alarms: all.flatMap((one) => ('alarm' in one ? [one.alarm] : [])),
    off: all.flatMap((one) => ('off' in one ? [one.off] : [])),
  }
}
