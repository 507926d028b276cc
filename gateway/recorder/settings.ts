import { basename, dirname, resolve } from 'node:path'
import type { Config } from '../../shared/schemas/config.ts'
import type { KeepLimits } from './retention.ts'

/** What of the config decides where and how is recorded. */
export interface RecorderSettings {
  readonly enabled: boolean
  readonly path: string
  readonly minFreeBytes: number
  readonly keep: KeepLimits
}

const MB = 1e6

/**
 * One store a config file, so that two configs in one folder do not share one. A recording that is played faster than it
 * was recorded runs ahead of time: it goes to a store of its own, lest the real one be dated by it.
 */
export function settingsOf(config: Config, configPath: string): RecorderSettings {
  const { enabled, folder, min_free_mb, keep } = config.recorder
  const runsAhead = config.devices.some((device) => device.transport === 'replay' && device.speed !== 1)
  const name = `${basename(configPath)}${runsAhead ? '.replay' : ''}.sqlite`
  return { enabled, path: resolve(dirname(configPath), folder, name), minFreeBytes: min_free_mb * MB, keep }
}
