import type { Priority } from '../../../shared/alarms.ts'
import type { AlarmList } from '../../../shared/schemas/alarms.ts'

export interface AlarmMarkWords {
  /** What there is to do first. */
  readonly loud: string
  /** The rest, part by part: what is active, unknown, put aside or off. */
  readonly quiet: readonly string[]
  /** `asks`: somebody has to look; `stands`: active and acknowledged; `dark`: not known; `calm`: nothing. */
  readonly mood: 'asks' | 'stands' | 'dark' | 'calm'
  readonly priority: Priority | null
}

const NOT_HEARD: AlarmMarkWords = {
  loud: 'Alarms not known',
  quiet: ['the gateway is not heard'],
  mood: 'dark',
  priority: null,
}

/** What is said to whoever has not logged in. */
export const LOGGED_OUT: AlarmMarkWords = { ...NOT_HEARD, quiet: ['log in to see them'] }

/** What every page says of all alarms. What is shelved, out of service or off is never left unsaid. */
export function alarmMarkWords(alarms: AlarmList | null, isHeard: boolean): AlarmMarkWords {
  if (alarms === null || !isHeard) return NOT_HEARD
  const { asking, active, unknown, shelved, outOfService, off, highest } = alarms.counts
  const some = (count: number, words: string) => (count === 0 ? [] : [`${count} ${words}`])
  const aside = [...some(shelved, 'shelved'), ...some(outOfService, 'out of service'), ...some(off, 'off')]
  const priority = highest === null ? [] : [`${highest} priority`]
  const words = (loud: string, quiet: readonly string[], mood: AlarmMarkWords['mood']): AlarmMarkWords => ({
    loud,
    quiet,
    mood,
    priority: highest,
  })
  if (asking > 0)
    return words(
      `${alarmCount(asking)} not acknowledged`,
      [...priority, ...(active === 0 ? [] : [`${active} active`]), ...some(unknown, 'unknown'), ...aside],
      'asks',
    )
  if (active > 0)
    return words(
      `${alarmCount(active)} active, acknowledged`,
      [...priority, ...some(unknown, 'unknown'), ...aside],
      'stands',
    )
  if (unknown > 0) return words(`${alarmCount(unknown)} unknown`, ['no data to judge by', ...aside], 'dark')
  return words('No alarm', aside, 'calm')
}

const alarmCount = (count: number): string => `${count} ${count === 1 ? 'alarm' : 'alarms'}`
