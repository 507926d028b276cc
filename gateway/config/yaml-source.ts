import {
  type Document,
  isAlias,
  isCollection,
  isMap,
  isPair,
  isScalar,
  type Node,
  parseDocument,
  visit,
  type YAMLError,
} from 'yaml'
import { EvenpullError, type FilePlace } from '../../shared/errors.ts'
import { ConfigErrors, inFileOrder } from './errors.ts'
import type { ConfigPath } from './finding.ts'
import { didYouMean } from './nearest.ts'
import { tooDeep } from './nesting.ts'

const MAX_CONFIG_BYTES = 1024 * 1024
/** Times the anchors of one file may be repeated, nested repeats multiplied out. */
const MAX_ALIASES = 1000
const MAX_ERRORS = 50

/** A YAML file that could be read: its content as plain data, and where each part of it stands. */
export interface YamlSource {
  readonly value: unknown
  /** Place of the value at `path` (or its key); of the deepest part that exists when it does not. */
  place(path: ConfigPath, at: 'value' | 'key'): FilePlace
}

/**
 * Reads YAML 1.2 text of at most 1 MB.
 * Throws ConfigErrors with EVP_CONFIG_YAML for everything in it that is no plain YAML.
 */
export function readYaml(text: string, file: string): YamlSource {
  const placeAt = placesIn(text, file)
  const refuse = (message: string, place?: FilePlace): never => {
    throw new ConfigErrors([new EvenpullError('EVP_CONFIG_YAML', message, place === undefined ? {} : { place })])
  }

  if (Buffer.byteLength(text) > MAX_CONFIG_BYTES)
    refuse(`the file is ${Buffer.byteLength(text)} bytes long; the limit is ${MAX_CONFIG_BYTES}`)
  const deepAt = tooDeep(text)
  if (deepAt !== null) refuse('nested too deeply: no config needs more than a handful of levels', placeAt(deepAt))

  const document = parseDocument(text, {
    prettyErrors: false,
    stringKeys: true,
    uniqueKeys: false, // compared pairwise there, in a set below
    logLevel: 'error', // silent would let a second document go unseen
  })
  const syntax = tellingOnes([...document.errors, ...document.warnings]).map((e) => yamlError(e, placeAt(e.pos[0])))
  if (syntax.length === 0) syntax.push(...repeatedKeys(document, placeAt), ...unknownAliases(document, placeAt))
  const [first, ...rest] = inFileOrder(syntax)
  if (first !== undefined) throw new ConfigErrors([first, ...capped(rest)])

  try {
    const value: unknown = document.toJS({ maxAliasCount: MAX_ALIASES })
    return { value, place: (path, at) => placeAt(offsetOf(document, path, at)) }
  } catch (cause) {
    if (!(cause instanceof ReferenceError)) throw cause
    return refuse(`anchors are repeated more than ${MAX_ALIASES} times, written out; write the values themselves`)
  }
}

/**
 * Line and column of an offset. Counted on the text itself: the parser's own counter loses lines
 * of plain text that goes on over several.
 */
function placesIn(text: string, file: string): (offset: number) => FilePlace {
  const starts = [0]
  for (let end = text.indexOf('\n'); end >= 0; end = text.indexOf('\n', end + 1)) starts.push(end + 1)
  return (offset) => {
    const at = Math.min(offset, text.length)
    let low = 0
    let high = starts.length - 1
    while (low < high) {
      const middle = (low + high + 1) >> 1
      if ((starts[middle] ?? 0) <= at) low = middle
      else high = middle - 1
    }
    return { file, line: low + 1, column: at - (starts[low] ?? 0) + 1 }
  }
}

function capped(errors: EvenpullError[]): EvenpullError[] {
  if (errors.length < MAX_ERRORS) return errors
  const more = new EvenpullError('EVP_CONFIG_YAML', `and ${errors.length - MAX_ERRORS + 1} more like these`)
  return [...errors.slice(0, MAX_ERRORS - 1), more]
}

/** A tab as indentation upsets everything after it: then only the tabs are worth telling. */
function tellingOnes(errors: readonly YAMLError[]): readonly YAMLError[] {
  const tabs = errors.filter((error) => error.code === 'TAB_AS_INDENT')
  return tabs.length > 0 ? tabs : errors
}

/** The parser's sentence, in words of the job where its own would not help. */
function yamlError(error: YAMLError, place: FilePlace): EvenpullError {
  const plain: Partial<Record<YAMLError['code'], string>> = {
    TAB_AS_INDENT: 'a tab stands in the indentation; YAML wants spaces there',
    MULTIPLE_DOCS: 'a second document begins here (---); a config is one document',
    NON_STRING_KEY: 'a list or a mapping stands where a key is expected',
    BLOCK_AS_IMPLICIT_KEY: 'a second "key: value" stands on this line; put it on a line of its own, or quote the text',
    BAD_INDENT: `the indentation does not fit here (${error.message})`,
  }
  return new EvenpullError('EVP_CONFIG_YAML', plain[error.code] ?? error.message, { place })
}

function repeatedKeys(document: Document, placeAt: (offset: number) => FilePlace): EvenpullError[] {
  const errors: EvenpullError[] = []
  visit(document, {
    Map(_, map) {
      const seen = new Map<string, FilePlace>()
      for (const { key } of map.items) {
        if (!isScalar(key)) continue
        const name = String(key.value)
        const place = placeAt(key.range?.[0] ?? 0)
        const earlier = seen.get(name)
        if (earlier === undefined) seen.set(name, place)
        else
          errors.push(
            new EvenpullError('EVP_CONFIG_YAML', `${name} is written twice; the first is on line ${earlier.line}`, {
              place,
            }),
          )
      }
    },
  })
  return errors
}

function unknownAliases(document: Document, placeAt: (offset: number) => FilePlace): EvenpullError[] {
  const anchors = new Set<string>()
  const errors: EvenpullError[] = []
  visit(document, {
    Node(_, node) {
      if (!isAlias(node)) {
        if (node.anchor !== undefined) anchors.add(node.anchor)
      } else if (!anchors.has(node.source)) {
        const message = `*${node.source} repeats an anchor that is not written above it`
        const place = placeAt(node.range?.[0] ?? 0)
        errors.push(new EvenpullError('EVP_CONFIG_YAML', message + didYouMean(node.source, [...anchors]), { place }))
      }
    },
  })
  return errors
}

function offsetOf(document: Document, path: ConfigPath, at: 'value' | 'key'): number {
  let node: Node | null = document.contents
  let offset = node?.range?.[0] ?? 0
  for (const [index, step] of path.entries()) {
    const key: unknown = pairKey(document, node, step)
    node = child(document, node, step)
    if (node === null && key === null) return offset
    const last = index === path.length - 1
    const target: unknown = last && at === 'key' && key !== null ? key : (node ?? key)
    offset = startOf(target) ?? offset
    if (node === null) return offset
  }
  return offset
}

const resolved = (document: Document, node: Node | null): Node | null =>
  isAlias(node) ? (node.resolve(document) ?? null) : node

function child(document: Document, node: Node | null, step: string | number): Node | null {
  const parent = resolved(document, node)
  return isCollection(parent) ? ((parent.get(step, true) as Node | undefined) ?? null) : null
}

function pairKey(document: Document, node: Node | null, step: string | number): unknown {
  const parent = resolved(document, node)
  if (!isMap(parent)) return null
  const pair = parent.items.find(
    (item) => isPair(item) && isScalar(item.key) && String(item.key.value) === String(step),
  )
  return pair?.key ?? null
}

function startOf(node: unknown): number | undefined {
  return isScalar(node) || isCollection(node) || isAlias(node) ? node.range?.[0] : undefined
}
