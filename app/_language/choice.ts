import { useSyncExternalStore } from 'react'
import type { Translator } from '../../lib/texts/translator.ts'
import { type Language, MARK_OF } from '../../shared/languages.ts'
import type { UnitChoice } from '../../shared/unit-choice.ts'
import { isVerbatim, namesKnown, onNames, tell, tellingNow } from './current.ts'
import { DECIMAL_KEY, LANGUAGE_KEY, WAITING } from './keys.ts'

export const LANGUAGE_CHOICES = ['system', 'en', 'de'] as const
export type LanguageChoice = (typeof LANGUAGE_CHOICES)[number]
export const DECIMAL_CHOICES = ['system', '.', ','] as const
export type DecimalChoice = (typeof DECIMAL_CHOICES)[number]

/** Of each language that has a catalogue; loaded when somebody reads it. */
const CATALOGUES: Record<Exclude<Language, 'en'>, () => Promise<{ default: Record<string, string> }>> = {
  de: () => import('../../shared/texts/de.json'),
}

/** A catalogue that could not be loaded is asked for again. */
const ASK_AGAIN_MS = 3000

const listeners = new Set<() => void>()
/** Holds the choice where storage is forbidden. */
const unstored = new Map<string, string>()
let version = 0
let units: UnitChoice | null = null

function kept(key: string): string | null {
  try {
    return localStorage.getItem(key)
  } catch {
    return unstored.get(key) ?? null
  }
}

function keep(key: string, choice: string): void {
  if (choice === 'system') unstored.delete(key)
  else unstored.set(key, choice)
  try {
    if (choice === 'system') localStorage.removeItem(key)
    else localStorage.setItem(key, choice)
  } catch {
    // Storage is forbidden here; `unstored` holds it.
  }
  void settle()
}

const chosenLanguage = (): LanguageChoice => LANGUAGE_CHOICES.find((one) => one === kept(LANGUAGE_KEY)) ?? 'system'
const chosenDecimal = (): DecimalChoice => DECIMAL_CHOICES.find((one) => one === kept(DECIMAL_KEY)) ?? 'system'

/** The first of the browser's languages that there is a catalogue for; the head script decides the same. */
function wantedLanguage(): Language {
  const choice = chosenLanguage()
  if (choice !== 'system') return choice
  for (const language of navigator.languages ?? []) {
    if (/^de\b/i.test(language)) return 'de'
    if (/^en\b/i.test(language)) return 'en'
  }
  return 'en'
}

/** Null for English, which needs none. */
async function translatorOf(language: Language): Promise<Translator | null> {
  if (language === 'en') return null
  const { readersTranslator } = await import('../../lib/texts/readers-translator.ts')
  const { default: catalogue } = await CATALOGUES[language]()
  return readersTranslator(catalogue, isVerbatim, () => ({ mark: tellingNow().mark, ...tellingNow().units }))
}

/** Makes the page speak as chosen; one that is late for a newer choice changes nothing. */
export async function settle(): Promise<void> {
  const language = wantedLanguage()
  const decimal = chosenDecimal()
  let translator: Translator | null = null
  try {
    translator = await translatorOf(language)
  } catch (error) {
    console.warn(`The words of the language ${language} could not be loaded; English stays meanwhile.`, error)
    setTimeout(() => void settle(), ASK_AGAIN_MS)
  }
  if (language !== wantedLanguage() || decimal !== chosenDecimal()) return
  const spoken = translator === null ? 'en' : language
  const mark = decimal === 'system' ? MARK_OF[spoken] : decimal
  const before = tellingNow()
  const next = { language: spoken, mark, translator, units: units ?? {} }
  const isSame =
    before.language === spoken && before.mark === mark && JSON.stringify(before.units) === JSON.stringify(next.units)
  tell(next)
  document.documentElement.lang = spoken
  delete document.documentElement.dataset[WAITING]
  if (!isSame) version++
  for (const listener of listeners) listener()
}

/** Units into which sentences of the gateway are converted. */
export function tellInUnits(next: UnitChoice): void {
  units = next
  void settle()
}

function subscribe(listener: () => void): () => void {
  if (listeners.size === 0) addEventListener('storage', followOtherTabs)
  listeners.add(listener)
  return () => {
    listeners.delete(listener)
    if (listeners.size === 0) removeEventListener('storage', followOtherTabs)
  }
}

function followOtherTabs({ key }: StorageEvent): void {
  if (key === LANGUAGE_KEY || key === DECIMAL_KEY || key === null) void settle()
}

export const chooseLanguage = (choice: LanguageChoice): void => keep(LANGUAGE_KEY, choice)
export const chooseDecimal = (choice: DecimalChoice): void => keep(DECIMAL_KEY, choice)

const none = () => 'system' as const
export const useLanguageChoice = (): LanguageChoice => useSyncExternalStore(subscribe, chosenLanguage, none)
export const useDecimalChoice = (): DecimalChoice => useSyncExternalStore(subscribe, chosenDecimal, none)

/** Counts how often the page has changed its way of speaking: what shows texts is mounted anew with it. */
export const useTellingVersion = (): number =>
  useSyncExternalStore(
    subscribe,
    () => version,
    () => 0,
  )

/** Draws anew what shows sentences that came before the names in them. */
export const useNames = (): number => useSyncExternalStore(onNames, namesKnown, () => 0)
