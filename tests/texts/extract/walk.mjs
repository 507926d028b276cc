import { isHtmlTemplate, piecesOf } from './html-template.mjs'
import { bare, isOfText, keyOf, product, waysOf } from './parts.mjs'

/** Attributes whose text a reader sees or hears; the page's JSX runtime translates the same. */
const TEXT_ATTRIBUTES = new Set(
  'title aria-label aria-description aria-placeholder aria-roledescription aria-valuetext placeholder alt label data-of'.split(
    ' ',
  ),
)
/** Elements whose text is code, kept as it is. */
const CODE_ELEMENTS = new Set(['code', 'pre', 'kbd', 'samp', 'script', 'style'])

const SKIPPED_CALLS = new Set(
  `querySelector querySelectorAll closest matches getElementById getItem setItem removeItem addEventListener
  removeEventListener matchMedia describe enum literal prepare exec split join replace replaceAll startsWith endsWith
  includes indexOf require get has delete postMessage on once emit setAttribute getAttribute
  regex discriminatedUnion useQuery setQuery getPropertyValue useRememberedFlag useRememberedText rememberedFlag
  createElement createElementNS getContext searchParams append pick omit toLocaleString toLocaleDateString toLocaleTimeString
  createHash update digest toString kind brand column`.split(/\s+/),
)
/** Of these names only a method is meant; a function of the project may bear one, too. */
const METHODS_ALONE = new Set(
  'get has delete on once emit kind column split join replace regex literal describe digest update'.split(' '),
)
const COMPARISONS = new Set(['===', '!==', '==', '!=', '<', '>', '<=', '>=', 'in', 'instanceof'])
const NEVER = new Set(['ImportDeclaration', 'ExportAllDeclaration', 'TSTypeAliasDeclaration', 'TSInterfaceDeclaration'])

/**
 * Every text of a parsed file: calls `found(key, position)`, position being `shown` where it is known to reach a
 * reader and `value` where it may. `areDescribed`: what a schema says of its keys is shown, too.
 */
export function walk(program, constants, found, areDescribed = false) {
  const take = (node, position) => {
    const { ways, rest } = waysOf(node, constants)
    for (const way of ways) found(keyOf(way), position)
    for (const inner of rest) visit(inner, isBranching(inner) ? position : 'value')
  }
  const visitAll = (nodes, position) => {
    for (const node of nodes) if (node != null) visit(node, position)
  }

  const children = (nodes) => {
    let run = []
    const flush = () => {
      if (run.length > 0) {
        const rest = []
        const taken = run.map((node) => ({ node, ...waysOf(node, constants) }))
        for (const way of product(taken, rest)) found(keyOf(way), 'shown')
        visitAll(rest, 'shown')
      }
      run = []
    }
    for (const node of nodes) {
      if (node.type === 'JSXText') run.push(node)
      else if (node.type === 'JSXExpressionContainer') {
        const inner = bare(node)
        if (inner.type === 'JSXEmptyExpression') continue
        if (!holdsElement(inner) && !isChildren(inner)) run.push(inner)
        else {
          flush()
          visit(inner, 'shown')
        }
      } else {
        flush()
        visit(node, 'shown')
      }
    }
    flush()
  }

  const element = (node) => {
    const name = node.openingElement.name
    const isHost = name.type === 'JSXIdentifier' && /^[a-z]/.test(name.name)
    for (const attribute of node.openingElement.attributes) {
      if (attribute.type !== 'JSXAttribute') {
        visit(attribute.argument, 'value')
        continue
      }
      const key = attribute.name.name
      if (attribute.value == null) continue
      if (TEXT_ATTRIBUTES.has(key)) take(attribute.value, 'shown')
      else if (!isHost && key !== 'className' && !/^(data-|id$|href$)/.test(key)) take(attribute.value, 'value')
      else if (attribute.value.type === 'JSXExpressionContainer' && isFunction(bare(attribute.value)))
        visit(bare(attribute.value), 'value')
    }
    if (!isHost || !CODE_ELEMENTS.has(name.name)) children(node.children)
  }

  /** A run of texts and what is put in between; what makes elements ends it. */
  const htmlTemplate = (node) => {
    const names = { textAttributes: TEXT_ATTRIBUTES, codeElements: CODE_ELEMENTS }
    for (const { kind, parts } of piecesOf(node.quasi, names)) {
      const nodes = parts.map((part) =>
        typeof part === 'string' ? { type: 'StringLiteral', value: part } : bare(part),
      )
      const expressions = nodes.filter((_, i) => i % 2 === 1)
      if (kind === 'left') {
        // A string that is put in there is typed, an id, or has been told already.
        visitAll(expressions.filter(holdsElement), 'value')
        continue
      }
      let run = []
      const flush = () => {
        const rest = []
        const taken = run.map((part) => ({ node: part, ...waysOf(part, constants) }))
        for (const way of product(taken, rest)) found(keyOf(way), 'shown')
        visitAll(rest, 'shown')
        run = []
      }
      for (const part of nodes) {
        if (!holdsElement(part) && !isMadeOfParts(part)) run.push(part)
        else {
          flush()
          visit(part, 'shown')
        }
      }
      flush()
    }
  }

  function visit(node, position) {
    if (isHtmlTemplate(node)) return htmlTemplate(node)
    switch (node.type) {
      case 'StringLiteral':
      case 'TemplateLiteral':
        return take(node, position)
      case 'ConditionalExpression':
      case 'LogicalExpression':
        if (holdsElement(node)) break
        return take(node, position)
      case 'BinaryExpression':
        if (COMPARISONS.has(node.operator)) {
          if (node.left.type === 'CallExpression') visit(node.left, 'value')
          return
        }
        if (isOfText(node)) return take(node, position)
        break
      case 'JSXElement':
        return element(node)
      case 'JSXFragment':
        return children(node.children)
      case 'VariableDeclarator': {
        const isTable = /(^|_)(WORDS|NAMES|TITLES|LABELS|TEXTS?)(_|$)|^(words|names|titles|labels)/.test(node.id.name)
        return node.init && visit(node.init, isTable ? 'words' : 'value')
      }
      case 'ObjectExpression':
      case 'TSAsExpression':
      case 'TSSatisfiesExpression':
        return visitAll(node.properties ?? [node.expression], position)
      case 'ArrayExpression':
        return visitAll(node.elements, position)
      case 'ObjectProperty':
        if (node.computed) visit(node.key, 'value')
        return visit(node.value, position === 'words' ? 'words' : 'value')
      case 'MemberExpression':
      case 'OptionalMemberExpression':
        return visit(node.object, position)
      case 'SwitchCase':
        return visitAll(node.consequent, position)
      case 'CallExpression':
      case 'OptionalCallExpression':
      case 'NewExpression': {
        visit(node.callee, 'value')
        const callee = node.callee.property?.name ?? node.callee.name
        const isMethod = node.callee.property !== undefined
        const isShown = callee === 'describe' && areDescribed
        const isSkipped = !isShown && SKIPPED_CALLS.has(callee) && (isMethod || !METHODS_ALONE.has(callee))
        if (isSkipped || node.callee.object?.name === 'console')
          return visitAll(node.arguments.filter(isFunction), 'value')
        // Its name stands beside its number, often one small word.
        if (callee === 'input' || callee === 'plainInput') return visitAll(node.arguments, 'words')
        return visitAll(node.arguments, 'value')
      }
      case 'Identifier':
      case 'Import':
        return
      default:
    }
    if (NEVER.has(node.type) || (node.type.startsWith('TS') && node.expression === undefined)) return
    for (const [key, value] of Object.entries(node)) {
      if (key === 'typeAnnotation' || key === 'typeParameters' || key === 'returnType' || key === 'directives') continue
      if (key === 'loc' || key.endsWith('omments') || key === 'extra' || key === 'errors' || key === 'tokens') continue
      if (Array.isArray(value)) visitAll(value.filter(isNode), 'value')
      else if (isNode(value)) visit(value, 'value')
    }
  }
  visit(program, 'value')
}

const isNode = (value) => value != null && typeof value === 'object' && typeof value.type === 'string'
const isFunction = (node) => node?.type === 'ArrowFunctionExpression' || node?.type === 'FunctionExpression'
const isBranching = (node) => node.type === 'ConditionalExpression' || node.type === 'LogicalExpression'
const isChildren = (node) => {
  const name = node.property?.name ?? node.name
  return name === 'children' || name === 'icon'
}

/** Calls of gateway/reports/html.ts that make elements of texts. */
const isMadeOfParts = (node) =>
  node.type === 'CallExpression' && ['typed', 'joined', 'eachAlone'].includes(node.callee.name)

/** Whether an expression makes elements: it then ends a run of text. */
function holdsElement(node) {
  if (!isNode(node)) return false
  if (node.type === 'JSXElement' || node.type === 'JSXFragment' || isHtmlTemplate(node)) return true
  return Object.entries(node).some(
    ([key, value]) =>
      key !== 'loc' && (Array.isArray(value) ? value.some((v) => isNode(v) && holdsElement(v)) : holdsElement(value)),
  )
}
