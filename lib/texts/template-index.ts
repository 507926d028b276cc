import { hasPlaces, patternOf, type Template, templateOf } from './template.ts'

interface Indexed {
  readonly template: Template
  pattern: RegExp | null
}

/** The templates that may fit a text, found by the rarest whole word of each, so that few are tried. */
export class TemplateIndex {
  readonly #byWord = new Map<string, Indexed[]>()

  constructor(entries: Iterable<readonly [key: string, translation: string]>) {
    const templates = [...entries].filter(([key]) => hasPlaces(key)).map((entry) => templateOf(...entry))
    const frequency = new Map<string, number>()
    for (const { words } of templates)
      for (const word of new Set(words)) frequency.set(word, (frequency.get(word) ?? 0) + 1)
    for (const template of templates) {
      const rarest = [...template.words].sort((a, b) => (frequency.get(a) ?? 0) - (frequency.get(b) ?? 0))[0]
      if (rarest === undefined) continue
      const there = this.#byWord.get(rarest)
      if (there === undefined) this.#byWord.set(rarest, [{ template, pattern: null }])
      else there.push({ template, pattern: null })
    }
  }

  /** Templates that fit the text with what was put in, those that say most first. */
  *fitting(text: string): Generator<{ readonly template: Template; readonly values: readonly string[] }> {
    const words = new Set(text.match(/[A-Za-z]{2,}/g))
    const candidates = [...words].flatMap((word) => this.#byWord.get(word) ?? [])
    candidates.sort((a, b) => b.template.letters - a.template.letters)
    for (const indexed of candidates) {
      indexed.pattern ??= patternOf(indexed.template.key)
      const match = indexed.pattern.exec(text)
      if (match !== null) yield { template: indexed.template, values: match.slice(1) }
    }
  }
}
