import { markedFigure, readersSentence } from '../../lib/texts/reader-numbers.ts'
import { Translator } from '../../lib/texts/translator.ts'
import { tellingNow } from './current.ts'

/** The translator of this page: its numbers follow the reader's choice. */
export function catalogueTranslator(
  catalogue: Record<string, string>,
  isVerbatim: (text: string) => boolean,
): Translator {
  const choice = () => ({ mark: tellingNow().mark, ...tellingNow().units })
  return new Translator({
    catalogue,
    isVerbatim,
    figure: (text) => markedFigure(text, choice()),
    sentence: (text) => readersSentence(text, choice()),
  })
}
