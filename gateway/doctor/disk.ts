import { access, constants, statfs } from 'node:fs/promises'
import { dirname } from 'node:path'
import type { Config } from '../../shared/schemas/config.ts'
import { type RecorderSettings, settingsOf } from '../recorder/settings.ts'
import { type Finding, look, reasonOf, right, untold, wrong } from './finding.ts'

/** What a stored sample takes, bytes; measured, see `npm run bench -- store`. */
const BYTES_A_SAMPLE = 0.9
const SECONDS_A_DAY = 86_400
const MB = 1e6

/** Space for the store and the right to write it. */
export async function lookAtDisk(config: Config, configPath: string): Promise<Finding> {
  const settings = settingsOf(config, configPath)
  if (!settings.enabled) return untold('the store', 'recording is turned off in the config')
  const what = `the store ${settings.path}`
  const folder = await nearestFolder(dirname(settings.path))
  try {
    await access(folder, constants.W_OK | constants.X_OK)
    const { bavail, bsize } = await statfs(folder)
    return judgeSpace(what, bavail * bsize, bytesADay(config), settings)
  } catch (error) {
    return wrong(
      what,
      `${folder} cannot be written: ${reasonOf(error)}`,
      'Give this user the folder, or set recorder.folder.',
    )
  }
}

/** @param freeBytes free for this user; @param perDay what recording takes a day, bytes */
export function judgeSpace(
  what: string,
  freeBytes: number,
  perDay: number,
  { minFreeBytes, keep }: Pick<RecorderSettings, 'minFreeBytes' | 'keep'>,
): Finding {
  const usable = freeBytes - minFreeBytes
  const days = usable / perDay
  const wanted = Math.min(keep.samples.days, (keep.samples.mb * MB) / perDay)
  const found = `${mb(freeBytes)} free; every sample takes about ${mb(perDay)} a day, so there is room for ${rounded(days)} days of the ${rounded(wanted)} that the config keeps`
  const remedy = 'Free space, or keep less (recorder.keep.samples).'
  if (usable <= 0)
    return wrong(what, `${mb(freeBytes)} free, under the ${mb(minFreeBytes)} of recorder.min_free_mb`, remedy)
  return days < wanted ? look(what, found, `${remedy} What is there already counts towards it.`) : right(what, found)
}

/** As often as its device is polled, every channel is a sample. */
export function bytesADay({ channels, devices }: Config): number {
  const rates = new Map(devices.map(({ id, rate_hz }) => [id, rate_hz]))
  const perSecond = channels.reduce((sum, { device }) => sum + (rates.get(device) ?? 0), 0)
  return perSecond * SECONDS_A_DAY * BYTES_A_SAMPLE
}

/** The folder itself, or the nearest above it that exists. */
async function nearestFolder(path: string): Promise<string> {
  try {
    await access(path)
    return path
  } catch {
    const above = dirname(path)
    return above === path ? path : nearestFolder(above)
  }
}

const mb = (bytes: number) => `${rounded(bytes / MB)} MB`
const rounded = (x: number) => (x >= 10 ? Math.round(x).toString() : x.toPrecision(2))
