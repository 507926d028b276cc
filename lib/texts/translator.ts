import { isCode, isFigure } from './figure-text.ts'
import { filled } from './template.ts'
import { TemplateIndex } from './template-index.ts'

export interface TranslatorOptions {
  /** English to the other language. */
  readonly catalogue: Readonly<Record<string, string>>
  /** A bare number or figure as the reader writes it. */
  readonly figure?: (text: string) => string
  /** A finished sentence, for what its numbers need. */
  readonly sentence?: (text: string) => string
  /** What a person typed: a name stays as it is where it is put into a sentence. */
  readonly isVerbatim?: (text: string) => boolean
}

export interface Told {
  readonly text: string
  /** Every word of it came out of the catalogue. */
  readonly isWhole: boolean
}

/** A template with fewer letters of its own counts only when all that was put in is understood too. */
const SURE_LETTERS = 12
const DEEPEST = 6
const MOST_KEPT = 6000

/** Where a text that no entry covers may be cut; `loose` cuts count only when every part is understood. */
const CUTS: readonly { readonly at: RegExp; readonly isLoose: boolean }[] = [
  { at: /(\n+)/, isLoose: false },
  { at: /((?<=[.!?:;]) )/, isLoose: false },
  { at: /( · )/, isLoose: false },
  { at: /( – )/, isLoose: false },
  { at: /( \(|\)(?= |$|[.,;:]))/, isLoose: true },
  { at: /(, )/, isLoose: true },
  { at: /( and | or )/, isLoose: true },
]

/**
 * English as the program makes it, in another language: by the whole text, by a template whose places are translated in
 * turn, by its sentences. What the catalogue does not know comes back unchanged.
 */
export class Translator {
  readonly #options: TranslatorOptions
  readonly #exact: ReadonlyMap<string, string>
  readonly #index: TemplateIndex
  readonly #kept = new Map<string, Told>()
  readonly #joints: Readonly<Record<string, string>>

  constructor(options: TranslatorOptions) {
    this.#options = options
    const entries = Object.entries(options.catalogue)
    this.#exact = new Map(entries)
    this.#index = new TemplateIndex(entries)
    this.#joints = { ' and ': ` ${options.catalogue.and ?? 'and'} `, ' or ': ` ${options.catalogue.or ?? 'or'} ` }
  }

  translate(text: string): Told {
    const known = this.#kept.get(text)
    if (known !== undefined) return known
    const told = this.#whole(text)
    if (this.#kept.size >= MOST_KEPT) this.#kept.clear()
    this.#kept.set(text, told)
    return told
  }

  #whole(text: string): Told {
    const [, before = '', core = '', after = ''] = /^(\s*)(.*?)(\s*)$/s.exec(text) ?? []
    if (isFigure(core)) return { text: before + this.#figure(core) + after, isWhole: true }
    const told = this.#say(core.replace(/[\s\u00a0\u202f]+/g, ' '), 0)
    if (!told.isWhole && told.text === core.replace(/[\s\u00a0\u202f]+/g, ' '))
      return { text: before + this.#sentence(core) + after, isWhole: false }
    return { text: before + this.#sentence(told.text) + after, isWhole: told.isWhole }
  }

  #say(text: string, depth: number): Told {
    if (text === '') return { text, isWhole: true }
    if (isFigure(text)) return { text: this.#figure(text), isWhole: true }
    const exact = this.#exact.get(text)
    if (exact !== undefined) return { text: exact, isWhole: true }
    if (depth > 0 && this.#options.isVerbatim?.(text) === true) return { text, isWhole: true }
    if (depth > DEEPEST) return { text, isWhole: false }
    const byTemplate = this.#byTemplate(text, depth)
    if (byTemplate?.isWhole) return byTemplate
    const other = this.#otherwise(text, depth)
    if (other?.isWhole) return other
    const cut = this.#cut(text, depth)
    if (cut?.isWhole) return cut
    if (isCode(text)) return { text, isWhole: true }
    return byTemplate ?? cut ?? { text, isWhole: false }
  }

  #byTemplate(text: string, depth: number): Told | null {
    let best: Told | null = null
    for (const { template, values } of this.#index.fitting(text)) {
      const told = values.map((value) => this.#put(value, depth + 1))
      const isWhole = told.every((part) => part.isWhole)
      if (!isWhole && (best !== null || template.letters < SURE_LETTERS)) continue
      best = {
        text: filled(
          template.translation,
          told.map((part) => part.text),
        ),
        isWhole,
      }
      if (isWhole) return best
    }
    return best
  }

  /** What was put in keeps the blanks around it. */
  #put(value: string, depth: number): Told {
    const [, before = '', core = '', after = ''] = /^(\s*)(.*?)(\s*)$/s.exec(value) ?? []
    const told = this.#say(core, depth)
    return { text: before + told.text + after, isWhole: told.isWhole }
  }

  /** Without its last mark, or with its first letter small or large. */
  #otherwise(text: string, depth: number): Told | null {
    const [, body, mark] = /^(.*[^.:;,!?…])([.:;,!?…]+)$/s.exec(text) ?? []
    if (body !== undefined && mark !== undefined) {
      const told = this.#say(body, depth + 1)
      if (told.isWhole) return { text: told.text + mark, isWhole: true }
    }
    const first = text.charAt(0)
    const turned = first === first.toUpperCase() ? first.toLowerCase() : first.toUpperCase()
    if (turned === first) return null
    const key = turned + text.slice(1)
    const told = this.#exact.has(key)
      ? { text: this.#exact.get(key) ?? '', isWhole: true }
      : this.#byTemplate(key, depth)
    if (told === null || !told.isWhole) return null
    // A German noun is written large wherever it stands: only a sentence begun anew takes a large letter.
    return first === first.toUpperCase()
      ? { ...told, text: told.text.charAt(0).toUpperCase() + told.text.slice(1) }
      : told
  }

  #cut(text: string, depth: number): Told | null {
    for (const { at, isLoose } of CUTS) {
      const parts = text.split(at)
      if (parts.length < 3) continue
      const told = parts.map((part, i) =>
        i % 2 === 1 ? { text: this.#joints[part] ?? part, isWhole: true } : this.#put(part, depth + 1),
      )
      const isWhole = told.every((part) => part.isWhole)
      if (isLoose && !isWhole) continue
      if (!told.some((part, i) => i % 2 === 0 && part.isWhole && part.text !== '')) continue
      return { text: told.map((part) => part.text).join(''), isWhole }
    }
    return null
  }

  #figure(text: string): string {
    return this.#options.figure?.(text) ?? text
  }

  #sentence(text: string): string {
    return this.#options.sentence?.(text) ?? text
  }
}
