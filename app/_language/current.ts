import type { ReadersUnits } from '../../lib/texts/reader-units.ts'
import { readersText } from '../../lib/texts/readers-text.ts'
import type { Translator } from '../../lib/texts/translator.ts'
import type { DecimalMark, Language } from '../../shared/languages.ts'
import { isSi } from '../../shared/unit-choice.ts'

/**
 * How this page speaks just now, outside React, because what makes elements of texts (jsx-runtime.ts) and what formats
 * numbers are plain functions. Whoever changes it mounts the page anew (LanguageRoot.tsx). A page is exported as the
 * plain one: English, decimal point, units as made.
 */
export interface Telling {
  readonly language: Language
  readonly mark: DecimalMark
  /** Null for English. */
  readonly translator: Translator | null
  /** Units into which sentences of the gateway are converted. */
  readonly units: ReadersUnits
}

const PLAIN: Telling = { language: 'en', mark: '.', translator: null, units: {} }
let telling = PLAIN
let isPlainNow = true

export const tellingNow = (): Telling => telling
export const isPlain = (): boolean => isPlainNow
export const decimalMark = (): DecimalMark => telling.mark

export function tell(next: Telling): void {
  telling = next
  const areUnitsPlain = isSi(next.units)
  isPlainNow = next.translator === null && next.mark === '.' && areUnitsPlain
}

/** Sent to the window once for each text that the catalogue does not cover; tests collect them. */
export const UNTOLD = 'evenpull:untold'
const MOST_UNTOLD = 500
const untold = new Set<string>()

function miss(text: string): void {
  if (untold.has(text) || untold.size >= MOST_UNTOLD || typeof window === 'undefined') return
  untold.add(text)
  dispatchEvent(new CustomEvent(UNTOLD, { detail: text }))
}

/** A text of the program as this reader gets it; what a person typed comes through as it is. */
export function told(text: string): string {
  if (isPlainNow || text === '') return text
  const { translator, mark, units } = telling
  const { text: translated, isWhole } = readersText(text, translator, { mark, ...units })
  if (!isWhole) miss(text)
  return translated
}

const MOST_NAMES = 5000
const names = new Set<string>()
const nameListeners = new Set<() => void>()
let namesVersion = 0

/** Remembers what people typed (names of zones, devices, users), so that it stays as it is inside a sentence. */
export function keepVerbatim(texts: Iterable<string | null | undefined>): void {
  const before = namesVersion
  for (const text of texts) {
    if (!text || names.has(text)) continue
    if (names.size >= MOST_NAMES) names.clear()
    names.add(text)
    namesVersion++
    telling.translator?.forget()
  }
  // A name may be met while a page is drawn: what shows it is drawn anew after that.
  if (namesVersion !== before) queueMicrotask(tellOfNames)
}

function tellOfNames(): void {
  for (const listener of nameListeners) listener()
}

/** Counts the names that were met: a sentence with one in it may be translated otherwise than before it was known. */
export const namesKnown = (): number => namesVersion

export function onNames(listener: () => void): () => void {
  nameListeners.add(listener)
  return () => nameListeners.delete(listener)
}

export const isVerbatim = (text: string): boolean => names.has(text)

/** Marks what a person typed where it is put into a sentence; where it stands alone, `translate="no"` says the same. */
export function typed(text: string): string {
  keepVerbatim([text])
  return text
}
