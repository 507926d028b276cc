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
/** One with fewer than these (`{0} of {1}`) is the last to be tried: it fits too much. */
const TELLING_LETTERS = 6
const DEEPEST = 8
/** Marks around a text: at its end, brackets, at its beginning, or a figure behind a comma. */
const FIGURE_AROUND = /^()(.+)(, [^,]+)$/s
const AROUND = [
  /^()(.*[^.:;,!?…])([.:;,!?…]+)$/s,
  /^(\()(.+)(\)[.,;:]?)$/s,
  /^([,;:] )(.+)()$/s,
  FIGURE_AROUND,
] as const
const MOST_KEPT = 6000
/** A long text that nothing covers can be cut in countless ways: after so many looks it stays as it is. */
const MOST_LOOKS = 1500
/** No sentence of the program is longer, characters; a longer text is a file or a list. */
const LONGEST = 1000

/** Where a text that no entry covers may be cut. */
interface Cut {
  readonly at: RegExp
  /** Counts only when every part is understood. */
  readonly isLoose: boolean
}
const CUTS: readonly Cut[] = [
  { at: /(\n+)/, isLoose: false },
  { at: /((?<=[.!?]) )/, isLoose: false },
  { at: /( · )/, isLoose: false },
  { at: /( – )/, isLoose: false },
]
const LOOSE_CUTS: readonly Cut[] = [
  { at: /(, )/, isLoose: true },
  { at: /( and | or )/, isLoose: true },
]
/** Cut in two at one of these, wherever both halves are understood. */
const HALVES = /(?<=[:;]) | \(|, /g

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
  /** Parts of the text in hand that were looked at, and how deep: the same part comes up in many cuts. */
  readonly #looked = new Map<string, { readonly told: Told; readonly depth: number }>()
  #looks = 0

  constructor(options: TranslatorOptions) {
    this.#options = options
    const entries = Object.entries(options.catalogue)
    this.#exact = new Map(entries)
    this.#index = new TemplateIndex(entries)
    this.#joints = { ' and ': ` ${options.catalogue.and ?? 'and'} `, ' or ': ` ${options.catalogue.or ?? 'or'} ` }
  }

  /** What is a name has changed: what was worked out before may be otherwise now. */
  forget(): void {
    this.#kept.clear()
  }

  translate(text: string): Told {
    const known = this.#kept.get(text)
    if (known !== undefined) return known
    this.#looked.clear()
    this.#looks = 0
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
    const isName = this.#options.isVerbatim?.(text) === true
    // Put into a sentence it is the name; alone, a word of the page is meant (a zone may be called Live).
    if (isName && depth > 0) return { text, isWhole: true }
    const exact = this.#exact.get(text)
    if (exact !== undefined || isName) return { text: exact ?? text, isWhole: true }
    const looked = this.#looked.get(text)
    // What was not understood deep down, where little may still be cut, may be understood here.
    if (looked !== undefined && (looked.told.isWhole || looked.depth <= depth)) return looked.told
    if (depth > DEEPEST || text.length > LONGEST || this.#looks >= MOST_LOOKS) return { text, isWhole: false }
    this.#looks++
    const told = this.#composed(text, depth)
    this.#looked.set(text, { told, depth })
    return told
  }

  /** Of parts that the catalogue has. */
  #composed(text: string, depth: number): Told {
    const byTemplate = this.#byTemplate(text, depth, TELLING_LETTERS)
    if (byTemplate?.isWhole) return byTemplate
    const other = this.#otherwise(text, depth)
    if (other?.isWhole) return other
    const cut = this.#cut(text, depth)
    if (cut?.isWhole) return cut
    const byAny = this.#byTemplate(text, depth, 0)
    if (byAny?.isWhole) return byAny
    if (text.split(' ').every((word) => isCode(word) || isFigure(word))) return { text, isWhole: true }
    return byTemplate ?? cut ?? { text, isWhole: false }
  }

  #byTemplate(text: string, depth: number, least: number): Told | null {
    let best: Told | null = null
    for (const { template, values } of this.#index.fitting(text)) {
      if (template.letters < least) break
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

  /** Without marks around it, without a figure at its beginning or end, with its first letter small or large. */
  #otherwise(text: string, depth: number): Told | null {
    for (const shape of AROUND) {
      const [, before = '', body, after = ''] = shape.exec(text) ?? []
      if (body === undefined || (shape === FIGURE_AROUND && !isFigure(after))) continue
      const told = this.#say(body, depth + 1)
      if (told.isWhole) return { text: this.#figure(before) + told.text + this.#figure(after), isWhole: true }
    }
    return this.#besideFigure(text, depth) ?? this.#inOtherCase(text, depth)
  }

  /** `27.9 ± 6.3 mm towards the middle`, `carbon steel 10.8`: the words alone are a text. */
  #besideFigure(text: string, depth: number): Told | null {
    const words = text.split(' ')
    let start = 0
    while (start < words.length && isFigure(words[start] ?? '')) start++
    let end = words.length
    while (end > start && isFigure(words[end - 1] ?? '')) end--
    if (start === end || (start === 0 && end === words.length)) return null
    const around = (from: number, to: number) => words.slice(from, to).map((word) => this.#figure(word))
    // A unit may belong to the words: `0.2 % of its force`.
    for (const from of [start, start - 1]) {
      const told = from < 0 ? null : this.#say(words.slice(from, end).join(' '), depth + 1)
      if (told?.isWhole === true)
        return { text: [...around(0, from), told.text, ...around(end, words.length)].join(' '), isWhole: true }
    }
    return null
  }

  #inOtherCase(text: string, depth: number): Told | null {
    const first = text.charAt(0)
    const turned = first === first.toUpperCase() ? first.toLowerCase() : first.toUpperCase()
    if (turned === first) return null
    const key = turned + text.slice(1)
    const exact = this.#exact.get(key)
    const told = exact === undefined ? this.#byTemplate(key, depth, TELLING_LETTERS) : { text: exact, isWhole: true }
    if (told === null || !told.isWhole) return null
    // A German noun is written large wherever it stands: only a sentence begun anew takes a large letter.
    return first === first.toUpperCase()
      ? { ...told, text: told.text.charAt(0).toUpperCase() + told.text.slice(1) }
      : told
  }

  #cut(text: string, depth: number): Told | null {
    let best: Told | null = null
    for (const cut of CUTS) {
      const told = this.#parts(text, cut, depth)
      if (told?.isWhole) return told
      best ??= told
    }
    const halves = this.#halves(text, depth)
    if (halves !== null) return halves
    for (const cut of LOOSE_CUTS) {
      const told = this.#parts(text, cut, depth)
      if (told !== null) return told
    }
    return best
  }

  #parts(text: string, { at, isLoose }: Cut, depth: number): Told | null {
    const parts = text.split(at)
    if (parts.length < 3) return null
    const told = parts.map((part, i) =>
      i % 2 === 1 ? { text: this.#joints[part] ?? part, isWhole: true } : this.#put(part, depth + 1),
    )
    const isWhole = told.every((part) => part.isWhole)
    const isSome = told.some((part, i) => i % 2 === 0 && part.isWhole && part.text !== '')
    if (!isSome || (isLoose && !isWhole)) return null
    return { text: told.map((part) => part.text).join(''), isWhole }
  }

  /** A half may begin with its mark: `, for information` is a text of its own. */
  #halves(text: string, depth: number): Told | null {
    for (const { index, 0: gap } of text.matchAll(HALVES)) {
      const left = this.#say(text.slice(0, index), depth + 1)
      if (!left.isWhole) continue
      const right = this.#say(text.slice(index).trimStart(), depth + 1)
      if (right.isWhole) return { text: left.text + (gap.startsWith(' ') ? ' ' : '') + right.text, isWhole: true }
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
