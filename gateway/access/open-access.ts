import type { LoadedConfig } from '../config/load.ts'
import { isLoopback } from '../config/loopback.ts'
import type { GatewayOptions } from '../gateway-options.ts'
import type { StoreRecorder } from '../recorder/store-recorder.ts'
import { Access } from './access.ts'
import { sessionFileOf } from './session-file.ts'
import { userFileOf } from './user-file.ts'

/** Users and sessions of the files beside the config, with what happens to them in the trail. */
export function openAccess(
  options: Pick<GatewayOptions, 'configPath' | 'log'>,
  { config }: LoadedConfig,
  host: string,
  recorder: StoreRecorder,
): Promise<Access> {
  const { idle_minutes: idleMinutes, longest_hours: longestHours } = config.gateway.session
  return Access.open({
    files: { users: userFileOf(options.configPath), sessions: sessionFileOf(options.configPath) },
    thisMachineOnly: isLoopback(host),
    limits: { idleMs: idleMinutes * 60_000, longestMs: longestHours * 3_600_000 },
    nowEpochMs: () => Date.now(),
    nowMs: () => performance.now(),
    event: (event) => {
      options.log(`access: ${event.text}`)
      void recorder.event(event)
    },
    log: options.log,
  })
}
