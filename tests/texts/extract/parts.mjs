/**
 * What an expression that makes a text can come out as: each way is a list of strings and `null`, and a null is
 * something that is put in while the program runs.
 *
 * `flag ? 'one' : 'two'` comes out in two ways, so that whole sentences stand in the catalogue and a translator never
 * has to put a sentence together from halves.
 */

/** More ways than these of one text: the part with most of them becomes something that is put in. */
const MOST_WAYS = 12
const PUT_IN = [[null]]

/** Strips what says nothing at run time. */
export function bare(node) {
  switch (node?.type) {
    case 'ParenthesizedExpression':
    case 'TSAsExpression':
    case 'TSSatisfiesExpression':
    case 'TSNonNullExpression':
    case 'JSXExpressionContainer':
      return bare(node.expression)
    default:
      return node
  }
}

/** @returns the ways, and the nodes inside that make texts of their own */
export function waysOf(node, constants) {
  const rest = []
  return { ways: ways(bare(node), constants, rest), rest }
}

function ways(node, constants, rest) {
  switch (node.type) {
    case 'StringLiteral':
      return [[node.value]]
    case 'NumericLiteral':
      return [[String(node.value)]]
    case 'NullLiteral':
    case 'BooleanLiteral':
      return [[]]
    case 'JSXText':
      return [[jsxText(node.value)]]
    case 'TemplateLiteral': {
      const parts = node.quasis.flatMap((quasi, i) => {
        const text = { ways: [[quasi.value.cooked]], rest: [] }
        const expression = node.expressions[i]
        return expression === undefined ? [text] : [text, { node: expression, ...waysOf(expression, constants) }]
      })
      return product(parts, rest)
    }
    case 'ConditionalExpression':
      rest.push(node.test)
      return [...ways(bare(node.consequent), constants, rest), ...ways(bare(node.alternate), constants, rest)]
    case 'LogicalExpression': {
      const right = ways(bare(node.right), constants, rest)
      if (node.operator === '&&') {
        rest.push(node.left)
        return [...right, []]
      }
      return [...ways(bare(node.left), constants, rest), ...right]
    }
    case 'BinaryExpression':
      if (!isOfText(node)) break
      return product(
        [node.left, node.right].map((side) => ({ node: side, ...waysOf(side, constants) })),
        rest,
      )
    case 'Identifier': {
      const known = constants.get(node.name)
      if (known === undefined) return PUT_IN
      return [[known]]
    }
    default:
  }
  rest.push(node)
  return PUT_IN
}

/** Whether a sum joins texts. */
export function isOfText(node) {
  const inner = bare(node)
  if (inner.type === 'BinaryExpression')
    return inner.operator === '+' && (isOfText(inner.left) || isOfText(inner.right))
  return inner.type === 'StringLiteral' || inner.type === 'TemplateLiteral'
}

/**
 * Every way of each part with every way of the others. A part that has too many is put in as a whole: its node then
 * makes texts of its own, and joins `rest`.
 */
export function product(parts, rest) {
  let sets = parts
  while (sets.reduce((n, { ways: set }) => n * set.length, 1) > MOST_WAYS) {
    const most = Math.max(...sets.map(({ ways: set }) => set.length))
    for (const part of sets) if (part.ways.length === most) rest.push(part.node)
    sets = sets.map((part) => (part.ways.length === most ? { ways: PUT_IN, rest: [] } : part))
  }
  for (const part of sets) rest.push(...part.rest)
  return sets.reduce((all, { ways: set }) => all.flatMap((before) => set.map((way) => [...before, ...way])), [[]])
}

/** A JSX text as the compiler hands it over: lines trimmed and joined, empty ones left out. */
function jsxText(value) {
  const lines = value.split(/\r\n|\n|\r/)
  return lines
    .map((line, i) => {
      let text = line.replace(/\t/g, ' ')
      if (i > 0) text = text.replace(/^ +/, '')
      if (i < lines.length - 1) text = text.replace(/ +$/, '')
      return text
    })
    .filter((line) => line !== '')
    .join(' ')
}

/** The way as a key of the catalogue: `{0} of {1}`; what is put in side by side counts as one. */
export function keyOf(way) {
  const merged = []
  for (const part of way) {
    if (part === '') continue
    const last = merged.at(-1)
    if (part === null && last === null) continue
    if (typeof part === 'string' && typeof last === 'string') merged[merged.length - 1] = last + part
    else merged.push(part)
  }
  let next = 0
  return merged
    .map((part) => (part === null ? `{${next++}}` : part))
    .join('')
    .replace(/[\s\u00a0\u202f]+/g, ' ')
    .trim()
}
