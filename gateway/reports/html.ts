/** A piece of HTML that may be put into a page as it is. */
export class Html {
  readonly text: string

  constructor(text: string) {
    this.text = text
  }
}

export type Part = Html | string | number | null | undefined | false | readonly Part[]

/** HTML out of a template: every part that is no HTML itself is escaped; null, undefined and false are nothing. */
export function html(strings: TemplateStringsArray, ...parts: readonly Part[]): Html {
  return new Html(strings.map((text, i) => text + (i < parts.length ? rendered(parts[i]) : '')).join(''))
}

function rendered(part: Part): string {
  if (part === null || part === undefined || part === false) return ''
  if (part instanceof Html) return part.text
  if (Array.isArray(part)) return part.map((one) => rendered(one as Part)).join('')
  return escapeHtml(String(part))
}

/** Parts with a text between them. */
export const joined = (parts: readonly Part[], between: string): Html =>
  new Html(parts.map((part, i) => (i === 0 ? '' : escapeHtml(between)) + rendered(part)).join(''))

/** What a person typed: it is in the language of whoever typed it, and stays as it is in every other. */
export const typed = (text: string): Html => html`<span translate="no">${text}</span>`

/** Texts that are translated each by itself. */
export const eachAlone = (texts: readonly string[], between: string): Html =>
  joined(
    texts.map((text) => html`<span>${text}</span>`),
    between,
  )

/** Without control characters that no reader shows. */
export const shownText = (text: string): string =>
  // biome-ignore lint/suspicious/noControlCharactersInRegex: these are what is taken out
  text.replace(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f\u202a-\u202e\u2066-\u2069]/g, '')

/** For text and attributes in double quotes, as it is shown. */
export function escapeHtml(text: string): string {
  return shownText(text)
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;')
    .replaceAll("'", '&#39;')
}
