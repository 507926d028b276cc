import type { Language } from '../shared/languages.ts'

/** An instant in the words of a reader's clock, with its offset from UTC. */
export type TimeWords = (epochMs: number) => string

type Day = Readonly<Record<'year' | 'month' | 'day', string>>
/** ISO 8601, which no two countries read differently, where English is read; DIN 5008 in German. */
const DAY_IN: Readonly<Record<Language, (day: Day) => string>> = {
  en: ({ year, month, day }) => `${year}-${month}-${day}`,
  de: ({ year, month, day }) => `${day}.${month}.${year}`,
}

/** Day, time and offset in a time zone of the IANA database: "2026-03-09 15:03:22 UTC+01:00"; the offset is left out where it is none. */
export function timeWordsIn(timeZone: string, language: Language = 'en'): TimeWords {
  const format = new Intl.DateTimeFormat('en', {
    timeZone,
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    hour: '2-digit',
    minute: '2-digit',
    second: '2-digit',
    hourCycle: 'h23',
    timeZoneName: 'longOffset',
  })
  return (epochMs) => {
    const part = Object.fromEntries(format.formatToParts(epochMs).map(({ type, value }) => [type, value]))
    // Without a difference ICU says GMT or GMT+00:00, by its version.
    const offset = (part.timeZoneName ?? '').replace(/^GMT(\+00:00)?/, 'UTC')
    const { year = '', month = '', day = '' } = part
    return `${DAY_IN[language]({ year, month, day })} ${part.hour}:${part.minute}:${part.second} ${offset}`
  }
}

/** That of the machine this runs on: a gateway stands at the line. */
export const machineTimeZone = (): string => new Intl.DateTimeFormat().resolvedOptions().timeZone
