import { CST, Lexer } from 'yaml'

/** The format nests six levels; a block level takes a column at least. */
const MAX_FLOW_DEPTH = 32
const MAX_BLOCK_COLUMN = 200

const FLOW_STARTS = new Set<string | null>(['flow-map-start', 'flow-seq-start'])
const FLOW_ENDS = new Set<string | null>(['flow-map-end', 'flow-seq-end'])
const BLOCK_INDICATORS = new Set<string | null>(['seq-item-ind', 'explicit-key-ind', 'map-value-ind'])
/** Marks of the lexer that stand for no text. */
const MARKS = new Set<string>([CST.DOCUMENT, CST.FLOW_END, CST.SCALAR])

/**
 * Where nesting becomes deeper than any config needs, as an offset into `text`; null when it does not.
 *
 * The YAML composer calls itself once a level. Near the end of the stack V8 may end the whole
 * process (a regular expression that cannot be compiled is fatal), so depth is bounded before,
 * on the tokens of the lexer, which does not call itself.
 */
export function tooDeep(text: string): number | null {
  let offset = 0
  let column = 0
  let depth = 0
  let scalarNext = false
  for (const token of new Lexer().lex(text)) {
    if (MARKS.has(token)) {
      scalarNext = token === CST.SCALAR
      continue
    }
    const type = scalarNext ? 'scalar' : CST.tokenType(token)
    scalarNext = false
    if (FLOW_STARTS.has(type)) depth += 1
    else if (FLOW_ENDS.has(type)) depth = Math.max(0, depth - 1)
    else if (depth === 0 && BLOCK_INDICATORS.has(type) && column > MAX_BLOCK_COLUMN) return offset
    if (depth > MAX_FLOW_DEPTH) return offset
    const lineEnd = token.lastIndexOf('\n')
    column = lineEnd < 0 ? column + token.length : token.length - lineEnd - 1
    offset += token.length
  }
  return null
}
