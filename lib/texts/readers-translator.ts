import { type NumberChoice, readersSentence } from './reader-numbers.ts'
import { withReadersNumbers } from './readers-text.ts'
import { Translator } from './translator.ts'

/**
 * A translator whose numbers follow the reader's choice, asked for anew with each text. A file of its own, because a
 * page that speaks English never loads it.
 */
export function readersTranslator(
  catalogue: Readonly<Record<string, string>>,
  isVerbatim: (text: string) => boolean,
  choice: () => NumberChoice,
): Translator {
  return new Translator({
    catalogue,
    isVerbatim,
    figure: (text) => withReadersNumbers(text, choice()),
    sentence: (text) => readersSentence(text, choice()),
  })
}
