/** A text of a page, and the elements that it stands in. */
export interface SeenText {
  readonly text: string
  /** "html/body/main/p.soft" */
  readonly place: string
  /** Code, or under `translate="no"`. */
  readonly isLeft: boolean
  /** On the first page, where a sentence may be cut. */
  readonly isShort: boolean
}

interface Open {
  readonly name: string
  readonly isLeft: boolean
}

const CODE = ['style', 'pre', 'code']
const TEXT_ATTRIBUTE = / (?:aria-label|alt|title|data-of)="([^"]*)"/g
const REFERENCES: Readonly<Record<string, string>> = { amp: '&', lt: '<', gt: '>', quot: '"', '#39': "'" }
const resolved = (text: string) =>
  text
    .replace(/&(amp|lt|gt|quot|#39);/g, (_, name: string) => REFERENCES[name] ?? '')
    .replace(/\s+/g, ' ')
    .trim()

/** Every text of a page of the reports, those of attributes too, in the order in which they stand. */
export function textsOf(page: string): readonly SeenText[] {
  const open: Open[] = []
  const texts: SeenText[] = []
  const add = (raw: string, isLeftHere = false) => {
    const text = resolved(raw)
    const place = open.map(({ name }) => name).join('/')
    const isLeft = isLeftHere || open.some((one) => one.isLeft)
    if (text !== '') texts.push({ text, place, isLeft, isShort: /div\.list\/.*span\.soft/.test(place) })
  }
  for (const [, tag = '', text = ''] of page.matchAll(/<([^>]*)>([^<]*)/g)) {
    const [, name = ''] = /^\/?!?([a-z0-9]+)/.exec(tag) ?? []
    const isLeft = CODE.includes(name) || tag.includes('translate="no"')
    if (tag.startsWith('/')) open.pop()
    else {
      for (const [, value = ''] of tag.matchAll(TEXT_ATTRIBUTE)) add(value, isLeft)
      const hasEnd = !tag.startsWith('!') && !tag.endsWith('/') && !['meta', 'img'].includes(name)
      const kind = / class="([^" ]*)"/.exec(tag)?.[1] ?? ''
      if (hasEnd) open.push({ name: kind === '' ? name : `${name}.${kind}`, isLeft })
    }
    if (!open.some((one) => one.name === 'style')) add(text)
  }
  return texts
}
