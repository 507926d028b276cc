import Link from 'next/link'
import { Fragment } from 'react'
import { CODE_ELEMENTS, TEXT_ATTRIBUTES } from '../../lib/texts/text-places.ts'
import { isPlain, told } from './current.ts'

export type Props = Readonly<Record<string, unknown>>

/**
 * The properties of an element with its texts in the reader's language. Texts are translated where they become part of
 * the page, at elements of HTML and SVG: a component hands on what it got. Texts and numbers side by side are one
 * sentence. Under `translate="no"` (HTML, "the translate attribute") nothing is touched: what a person typed.
 */
export function toldProps(type: unknown, props: Props): Props {
  if (isPlain() || !isPageElement(type) || props.translate === 'no') return props
  if (typeof type === 'string' && CODE_ELEMENTS.has(type)) return toldAttributes(props)
  const { children } = props
  const toldChildren = children === undefined ? children : toldNode(children)
  const next = toldAttributes(props)
  return toldChildren === children ? next : { ...next, children: toldChildren }
}

/** A link of Next makes its element by itself. */
const isPageElement = (type: unknown): boolean => typeof type === 'string' || type === Fragment || type === Link

function toldAttributes(props: Props): Props {
  let next: Record<string, unknown> | null = null
  for (const name of TEXT_ATTRIBUTES) {
    const value = props[name]
    if (typeof value !== 'string') continue
    const text = told(value)
    if (text === value) continue
    next ??= { ...props }
    next[name] = text
  }
  return next ?? props
}

const isText = (node: unknown): node is string | number => typeof node === 'string' || typeof node === 'number'

/** The list keeps its length, so that React finds each element again in the place where it was. */
function toldNode(node: unknown): unknown {
  if (isText(node)) return told(String(node))
  if (!Array.isArray(node)) return node
  const result: unknown[] = node.map((part) => (isText(part) ? null : toldNode(part)))
  let run = ''
  let start = 0
  const end = () => {
    if (run !== '') result[start] = told(run)
    run = ''
  }
  for (const [i, part] of node.entries()) {
    if (isText(part)) {
      if (run === '') start = i
      run += String(part)
    } else if (part !== null && part !== undefined && typeof part !== 'boolean') end()
  }
  end()
  return result
}
