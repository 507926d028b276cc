import { CODE_ELEMENTS, TEXT_ATTRIBUTES } from '../../lib/texts/text-places.ts'
import { escapeHtml, Html } from './html.ts'

const TAG = /<(\/?)([a-z][a-z0-9]*)([^>]*)>/g
const ATTRIBUTES: ReadonlySet<string> = new Set(TEXT_ATTRIBUTES)
const WITHOUT_END: ReadonlySet<string> = new Set(['br', 'img', 'meta'])

/** An element whose texts are left alone, and how many of its name are open. */
interface Left {
  readonly name: string
  open: number
}

/**
 * Markup with its texts told anew, as the page does it with its elements: each text between two tags, and each text of
 * an attribute. What is code, and what a person typed (`translate="no"`, HTML, "the translate attribute"), stays as it
 * is. Of markup that the templates here make: names of tags in small letters, values in double quotes, nothing bare.
 */
export function toldMarkup({ text }: Html, told: (text: string) => string): Html {
  const parts: string[] = []
  let from = 0
  let left: Left | null = null
  const take = (to: number) => {
    const between = text.slice(from, to)
    parts.push(left === null ? toldText(between, told) : between)
  }
  for (const match of text.matchAll(TAG)) {
    const [tag, slash, name = '', rest = ''] = match
    take(match.index)
    from = match.index + tag.length
    const hasEnd = !rest.endsWith('/') && !WITHOUT_END.has(name)
    const isLeft = slash === '' && (CODE_ELEMENTS.has(name) || / translate="no"/.test(rest))
    if (left === null) parts.push(isLeft || slash !== '' ? tag : `<${name}${toldAttributes(rest, told)}>`)
    else parts.push(tag)
    if (left !== null && name === left.name && hasEnd) left.open += slash === '' ? 1 : -1
    if (left === null && isLeft && hasEnd) left = { name, open: 1 }
    if (left?.open === 0) left = null
  }
  take(text.length)
  return new Html(parts.join(''))
}

const toldAttributes = (attributes: string, told: (text: string) => string): string =>
  attributes.replace(/ ([a-z-]+)="([^"]*)"/g, (whole, name: string, value: string) =>
    ATTRIBUTES.has(name) ? ` ${name}="${toldText(value, told)}"` : whole,
  )

const toldText = (escaped: string, told: (text: string) => string): string =>
  /\S/.test(escaped) ? escapeHtml(told(plainText(escaped))) : escaped

/** Undoes `escapeHtml`. */
const plainText = (escaped: string): string =>
  escaped
    .replaceAll('&#39;', "'")
    .replaceAll('&quot;', '"')
    .replaceAll('&gt;', '>')
    .replaceAll('&lt;', '<')
    .replaceAll('&amp;', '&')
