/**
 * A key of the catalogue is English with `{0}`, `{1}` for what is put in. A template finds what was put in again in a
 * finished text, and writes the translation with it.
 */
export interface Template {
  readonly key: string
  readonly translation: string
  /** Letters of the key's own words: of two templates that fit, the one that says more is meant. */
  readonly letters: number
  /** Whole words that any text of this template holds. */
  readonly words: readonly string[]
}

const PLACE = /\{(\d+)\}/g
const SPECIAL = /[.*+?^${}()|[\]\\]/g

export function hasPlaces(key: string): boolean {
  return /\{\d+\}/.test(key)
}

/** Numbers of the places, as they come. */
export function placesOf(text: string): string[] {
  return [...text.matchAll(PLACE)].map(([, place = '']) => place)
}

/** Whole words that stand in the key itself: not glued to a place. */
export function wholeWordsOf(key: string): string[] {
  return [...key.matchAll(/(?<![A-Za-z}])[A-Za-z]{2,}(?![A-Za-z{])/g)].map(([word]) => word)
}

export function templateOf(key: string, translation: string): Template {
  const own = key.replace(PLACE, ' ')
  return { key, translation, letters: own.replace(/[^A-Za-z]/g, '').length, words: wholeWordsOf(key) }
}

/** As a pattern over a whole text; each place takes as little as it can. */
export function patternOf(key: string): RegExp {
  const parts = key.split(PLACE).map((part, i) => (i % 2 === 1 ? '(.*?)' : part.replace(SPECIAL, '\\$&')))
  return new RegExp(`^${parts.join('')}$`, 's')
}

/** The text with the values of its places, by their numbers. */
export function filled(text: string, values: readonly string[]): string {
  return text.replace(PLACE, (_, place) => values[Number(place)] ?? '')
}
