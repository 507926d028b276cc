import { existsSync } from 'node:fs'
import { EvenpullError } from '../../shared/errors.ts'
import { type LoadedConfig, loadConfig } from '../config/load.ts'
import { didYouMean } from '../config/nearest.ts'
import { settingsOf } from '../recorder/settings.ts'
import { StoreReader } from '../recorder/store-reader.ts'

export interface Recorded {
  readonly reader: StoreReader
  readonly storePath: string
  readonly loaded: LoadedConfig
}

/**
 * Opens what the gateway of a config has recorded, for reading alone; it may be running meanwhile. Throws what
 * `loadConfig` throws, and EVP_NOT_FOUND when nothing was recorded.
 */
export async function openRecorded(configPath: string): Promise<Recorded> {
  const loaded = await loadConfig(configPath)
  const { path } = settingsOf(loaded.config, configPath)
  if (!existsSync(path))
    throw new EvenpullError('EVP_NOT_FOUND', `nothing was recorded yet: there is no ${path}`, {
      remedy: 'Run the gateway with this config first, or name the config it runs with.',
    })
  return { reader: new StoreReader(path), storePath: path, loaded }
}

/** EVP_NOT_FOUND for a zone that no revision ever had, with the nearest that the config has. */
export function noSuchZone(zone: string, { config }: LoadedConfig): EvenpullError {
  const ids = config.zones.map(({ id }) => id)
  return new EvenpullError('EVP_NOT_FOUND', `no zone ${JSON.stringify(zone)} was recorded${didYouMean(zone, ids)}`, {
    remedy: `The config has ${ids.join(', ')}.`,
  })
}
