import { type Document, isAlias, isMap, isScalar, isSeq, type Node, type Pair, stringify, type YAMLMap } from 'yaml'
import type { ConfigPath } from '../finding.ts'
import type { KeyEdit } from './key-edits.ts'

/** A stretch of text to replace. */
export interface Splice {
  readonly from: number
  readonly to: number
  readonly by: string
}

/** The text with these stretches replaced; they must not overlap. */
export function spliced(text: string, splices: readonly Splice[]): string {
  const fromEnd = [...splices].sort((a, b) => b.from - a.from)
  return fromEnd.reduce((out, { from, to, by }) => out.slice(0, from) + by + out.slice(to), text)
}

/**
 * The stretch of text that one edit changes, so that all around it stays as it was typed; null where the
 * form of the text (an alias, a flow mapping over several lines …) does not allow it so simply.
 * Whoever uses it must read the result again and compare.
 */
export function spliceFor(text: string, document: Document, edit: KeyEdit): Splice | null {
  const last = edit.path.at(-1)
  const parent = nodeAt(document, edit.path.slice(0, -1))
  if (last === undefined || parent === null) return null
  if (isSeq(parent)) return itemSplice(parent.items[Number(last)], edit)
  if (!isMap(parent)) return null
  const pair = parent.items.find(({ key }) => isScalar(key) && String(key.value) === String(last))
  const value = pair?.value
  if (isReplaceable(value) && isPlain(edit.value)) return scalarSplice(value, edit.value)
  if (parent.flow === true) return pair === undefined ? flowInsert(parent, String(last), edit) : null
  return pair === undefined ? blockInsert(text, parent, String(last), edit) : blockReplace(text, parent, pair, edit)
}

function itemSplice(item: unknown, { value }: KeyEdit): Splice | null {
  return isReplaceable(item) && isPlain(value) ? scalarSplice(item, value) : null
}

/** The node at a path; null where an alias or nothing stands in the way. */
function nodeAt(document: Document, path: ConfigPath): Node | null {
  let node: unknown = document.contents
  for (const step of path) node = isMap(node) || isSeq(node) ? node.get(step, true) : null
  return isMap(node) || isSeq(node) ? node : null
}

type Ranged = { readonly range: readonly [number, number, number] }

/** A plain or quoted scalar on one line, without anchor or tag. */
function isReplaceable(node: unknown): node is Ranged {
  if (!isScalar(node) || isAlias(node) || node.anchor !== undefined || node.tag !== undefined) return false
  return node.range != null && node.range[1] > node.range[0] && !String(node.type).startsWith('BLOCK')
}

const isPlain = (value: unknown) => ['number', 'string', 'boolean'].includes(typeof value)

const scalarSplice = ({ range }: Ranged, value: unknown): Splice => ({
  from: range[0],
  to: range[1],
  by: scalarText(value),
})

/** As YAML would be typed by hand, on one line. */
function scalarText(value: unknown): string {
  const text = oneEntry(value, {})
  return text.includes('\n') ? JSON.stringify(value) : text
}

function flowInsert(map: YAMLMap, key: string, { value }: KeyEdit): Splice | null {
  const end = endOf(map.items.at(-1))
  return end === null || !isPlain(value) ? null : { from: end, to: end, by: `, ${key}: ${scalarText(value)}` }
}

function blockInsert(text: string, map: YAMLMap, key: string, { value }: KeyEdit): Splice | null {
  const end = endOf(map.items.at(-1))
  const indent = indentOf(text, map)
  if (value === undefined || end === null || indent === null) return null
  const at = lineEnd(text, lastCharacter(text, end))
  const eol = text.includes('\r\n') ? '\r\n' : '\n'
  return {
    from: at,
    to: at,
    by: blockLines(key, value, indent)
      .map((line) => eol + line)
      .join(''),
  }
}

/** Replaces or takes out a whole key of a block mapping, from its own line to the end of its value. */
function blockReplace(text: string, map: YAMLMap, pair: Pair, { value }: KeyEdit): Splice | null {
  const start = isScalar(pair.key) ? pair.key.range?.[0] : undefined
  const end = endOf(pair)
  const indent = indentOf(text, map)
  if (start === undefined || end === null || indent === null) return null
  const from = text.lastIndexOf('\n', start - 1) + 1
  // Behind the dash of a list item there is no line of its own.
  if (text.slice(from, start).trim() !== '') return null
  const to = lineEnd(text, lastCharacter(text, end))
  const eol = text.includes('\r\n') ? '\r\n' : '\n'
  if (value !== undefined) {
    const key = String(isScalar(pair.key) ? pair.key.value : pair.key)
    return { from, to, by: blockLines(key, value, indent).join(eol) }
  }
  const next = text.indexOf('\n', to)
  return { from, to: next < 0 ? text.length : next + 1, by: '' }
}

function blockLines(key: string, value: unknown, indent: number): string[] {
  const text = oneEntry({ [key]: value }, { flowCollectionPadding: true })
  return text.split('\n').map((line) => (line === '' ? line : ' '.repeat(indent) + line))
}

/** Column of the keys of a block mapping. */
function indentOf(text: string, map: YAMLMap): number | null {
  const key = map.items[0]?.key
  const start = isScalar(key) ? key.range?.[0] : undefined
  return start === undefined ? null : start - (text.lastIndexOf('\n', start - 1) + 1)
}

function endOf(pair: Pair | undefined): number | null {
  const node = pair?.value ?? pair?.key
  const range = typeof node === 'object' && node !== null && 'range' in node ? (node as Partial<Ranged>).range : null
  return range?.[1] ?? null
}

/** The last character before `end` that is not white space. */
function lastCharacter(text: string, end: number): number {
  let at = end
  while (at > 0 && /\s/.test(text[at - 1] ?? '')) at -= 1
  return at
}

/** End of the line at `at`, before its line end. */
function lineEnd(text: string, at: number): number {
  const end = text.indexOf('\n', at)
  const stop = end < 0 ? text.length : end
  return text[stop - 1] === '\r' && stop > at ? stop - 1 : stop
}

/** As YAML, without the line break at its end, and only that: a text may itself end in white space. */
function oneEntry(value: unknown, style: { flowCollectionPadding?: boolean }): string {
  return stringify(value, { lineWidth: 0, blockQuote: false, ...style }).replace(/\n$/, '')
}
