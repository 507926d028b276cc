import { isDeepStrictEqual } from 'node:util'
import { type Document, isAlias, isNode, type ParsedNode, parseDocument, visit } from 'yaml'
import { type KeyEdit, withEdits } from './edit/key-edits.ts'
import { type Splice, spliced, spliceFor } from './edit/splice.ts'
import { readYaml } from './yaml-source.ts'

/**
 * The text of a config with some of its keys changed.
 *
 * All that is not changed stays as it was typed, to the byte: comments, order, spacing, quotes. Where the form of
 * the text does not allow that, the whole is written anew with comments and order kept. In either case the
 * result says what was wanted and nothing else, or an error is thrown: it is read again and compared.
 *
 * Throws ConfigErrors when `text` is no config YAML, RangeError when a path leads nowhere.
 */
export function editConfigText(text: string, edits: readonly KeyEdit[], file: string): string {
  if (edits.length === 0) return text
  const wanted = withEdits(readYaml(text, file).value, edits)
  const isRight = (result: string) => says(result, wanted, file)
  const inPlace = editedInPlace(text, edits, file)
  if (inPlace !== null && isRight(inPlace)) return inPlace
  const rewritten = editedDocument(text, edits)
  if (isRight(rewritten)) return rewritten
  throw new RangeError(
    `${file} cannot be edited as it is written: ${edits.map(({ path }) => path.join('.')).join(', ')}`,
  )
}

function says(text: string, wanted: unknown, file: string): boolean {
  try {
    return isDeepStrictEqual(withEdits(readYaml(text, file).value, []), wanted)
  } catch {
    return false
  }
}

const parse = (text: string): Document => parseDocument(text, { stringKeys: true, uniqueKeys: false })

/** Plain values in one go; what adds, replaces or takes out lines one after another, because it moves the rest. */
function editedInPlace(text: string, edits: readonly KeyEdit[], file: string): string | null {
  const document = parse(text)
  const splices: Splice[] = []
  const later: KeyEdit[] = []
  for (const edit of edits) {
    const splice = spliceFor(text, document, edit)
    if (splice !== null && !splice.by.includes('\n') && splice.to > splice.from && edit.value !== undefined)
      splices.push(splice)
    else later.push(edit)
  }
  let out = spliced(text, splices)
  for (const edit of later) {
    const splice = spliceFor(out, parse(out), edit)
    if (splice === null) return null
    const next = spliced(out, [splice])
    if (!says(next, withEdits(readYaml(out, file).value, [edit]), file)) return null
    out = next
  }
  return out
}

/** Through the document tree: comments and order stay; indentation and spacing become the library's. */
function editedDocument(text: string, edits: readonly KeyEdit[]): string {
  const document = parse(text)
  writeOutAliases(document)
  for (const { path, value } of edits) {
    if (value === undefined) document.deleteIn(path)
    else document.setIn(path, typeof value === 'object' ? document.createNode(value) : value)
  }
  const out = document.toString({ lineWidth: 0 })
  return text.includes('\r\n') ? out.replaceAll('\n', '\r\n') : out
}

/** So that an edit behind an anchor changes one place and not all that repeat it. */
function writeOutAliases(document: Document): void {
  visit(document, {
    Alias(_, alias) {
      const target = alias.resolve(document)
      if (!isNode(target) || isAlias(target)) return undefined
      return (target as ParsedNode).clone() as ParsedNode
    },
  })
  visit(document, {
    Node(_, node) {
      if (!isAlias(node) && 'anchor' in node) delete node.anchor
    },
  })
}
