import { isFigure } from './figure-text.ts'
import { markedFigure, type NumberChoice, readersSentence } from './reader-numbers.ts'
import type { Told, Translator } from './translator.ts'

/** A text with its numbers as the reader chose: every one of a text without words, in a sentence those with a unit. */
export const withReadersNumbers = (text: string, choice: NumberChoice): string =>
  readersSentence(isFigure(text) ? markedFigure(text, choice) : text, choice)

/** A text of the program as a reader gets it; `translator` is null for English. */
export const readersText = (text: string, translator: Translator | null, choice: NumberChoice): Told =>
  translator === null ? { text: withReadersNumbers(text, choice), isWhole: true } : translator.translate(text)
