/**
 * Texts of a tagged template `html`, as the report's own pass over its markup sees them: what stands between two tags is
 * one text, and so is an attribute; what stands under `translate="no"` or is code is none.
 */

const TOKEN = /<!?(\/?)([a-z][a-z0-9]*)((?:[^<>"]|"[^"]*")*)>/g
const ATTRIBUTE = / ([a-z-]+)="([^"]*)"/g
const WITHOUT_END = new Set(['br', 'img', 'meta', 'doctype'])
/** Stands for an expression of the template; no source holds it. */
const MARK = /\ue000(\d+)\ue001/

/**
 * @param {any} quasi TemplateLiteral
 * @param {{ textAttributes: ReadonlySet<string>, codeElements: ReadonlySet<string> }} names
 * @returns {{ kind: 'text' | 'attribute' | 'left', parts: (string | any)[] }[]} strings and the nodes between them
 */
export function piecesOf({ quasis, expressions }, { textAttributes, codeElements }) {
  const markup = quasis
    .map(({ value }, i) => value.cooked + (i < expressions.length ? `\ue000${i}\ue001` : ''))
    .join('')
  const parts = (text) => text.split(MARK).map((part, i) => (i % 2 === 1 ? expressions[Number(part)] : part))
  const pieces = []
  let from = 0
  let left = null
  const text = (to) => pieces.push({ kind: left === null ? 'text' : 'left', parts: parts(markup.slice(from, to)) })
  for (const match of markup.matchAll(TOKEN)) {
    const [tag, slash, name, rest] = match
    text(match.index)
    from = match.index + tag.length
    const isLeft = slash === '' && (codeElements.has(name) || rest.includes('translate="no"'))
    for (const [, attribute, value] of rest.matchAll(ATTRIBUTE)) {
      const isText = textAttributes.has(attribute) && left === null && !isLeft
      pieces.push({ kind: isText ? 'attribute' : 'left', parts: parts(value) })
    }
    const hasEnd = !rest.endsWith('/') && !WITHOUT_END.has(name)
    if (left !== null && name === left.name && hasEnd) left.open += slash === '' ? 1 : -1
    if (left === null && isLeft && hasEnd) left = { name, open: 1 }
    if (left?.open === 0) left = null
  }
  text(markup.length)
  return pieces
}

export const isHtmlTemplate = (node) => node.type === 'TaggedTemplateExpression' && node.tag.name === 'html'
