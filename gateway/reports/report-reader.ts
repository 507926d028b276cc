import { readFileSync } from 'node:fs'
import type { NumberChoice } from '../../lib/texts/reader-numbers.ts'
import { readersText } from '../../lib/texts/readers-text.ts'
import { readersTranslator } from '../../lib/texts/readers-translator.ts'
import { type DecimalMark, type DecimalName, type Language, MARK_NAMED, MARK_OF } from '../../shared/languages.ts'
import type { VerificationRecord } from '../../shared/schemas/verification.ts'
import type { RecordComparison } from '../../shared/schemas/verification-compare.ts'
import { isSi, namedUnits, SI_CHOICE, type UnitChoice } from '../../shared/unit-choice.ts'
import { shownText } from './html.ts'

/** How a report is told. */
export interface ReadersChoice {
  readonly language: Language
  readonly mark: DecimalMark
  /** SI where it is left out. */
  readonly units?: UnitChoice
}
export const PLAIN_CHOICE: ReadersChoice = { language: 'en', mark: '.' }

/** As it was asked for; a decimal sign that was not is that of the language. Throws RangeError on units that are none. */
export function readersChoice(language: Language = 'en', decimal?: DecimalName, units = 'si'): ReadersChoice {
  const chosen = namedUnits(units)
  if (chosen === null) throw new RangeError(`${units} are no units`)
  return { language, mark: decimal === undefined ? MARK_OF[language] : MARK_NAMED[decimal], units: chosen }
}

export interface ReportReader extends Required<ReadersChoice> {
  /** A text of the program in the language, decimal mark and units of the reader. */
  readonly told: (text: string) => string
  /** Texts that the catalogue does not cover; they come back as they were. */
  readonly untold: ReadonlySet<string>
}

/** `names` is what people typed: it stays as it is where it stands in a sentence. */
export function reportReader(
  { language, mark, units = SI_CHOICE }: ReadersChoice,
  names: ReadonlySet<string>,
): ReportReader {
  const untold = new Set<string>()
  const choice: NumberChoice = { mark, ...units }
  if (language === 'en' && mark === '.' && isSi(units)) return { language, mark, units, told: (text) => text, untold }
  const translator =
    language === 'en'
      ? null
      : readersTranslator(
          catalogueOf(language),
          (text) => names.has(text),
          () => choice,
        )
  const told = (text: string): string => {
    const { text: said, isWhole } = readersText(text, translator, choice)
    if (!isWhole) untold.add(text)
    return said
  }
  return { language, mark, units, told, untold }
}

const catalogueOf = (language: Exclude<Language, 'en'>): Record<string, string> =>
  JSON.parse(readFileSync(new URL(`../../shared/texts/${language}.json`, import.meta.url), 'utf8'))

/** What people named in a record and in the config it was begun with: its own title, people, zone, channels, devices. */
export function namesIn({ head, entries }: VerificationRecord, comparison: RecordComparison | null): Set<string> {
  const names = [
    ...[head.title, head.zone, head.zoneName, head.plant, head.line, head.begunBy, comparison?.earlier.title],
    ...entries.map(({ who }) => who),
    ...namesOf(head.config),
  ]
  return new Set(names.flatMap((name) => (name == null ? [] : [asInSentence(name)])).filter((name) => name !== ''))
}

/** As a sentence on its way to the reader holds it. */
const asInSentence = (name: string): string => shownText(name).replace(/\s+/g, ' ').trim()

/** Every `id` and `name` in it, however deep. */
function namesOf(value: unknown): string[] {
  if (typeof value !== 'object' || value === null) return []
  return Object.entries(value).flatMap(([key, inner]) =>
    typeof inner === 'string' ? (key === 'id' || key === 'name' ? [inner] : []) : namesOf(inner),
  )
}
