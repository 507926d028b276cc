import type { z } from 'zod'
import { type ConfigPath, type Finding, wrong, wrongKey } from './finding.ts'
import { describedAt, keysAt, nodesAt, property, valueAt } from './json-schema.ts'
import { didYouMean } from './nearest.ts'
import { withoutSecrets } from './secrets.ts'
import { given, list, pathWords } from './words.ts'

type Issue = z.core.$ZodIssue

/** What zod found, as findings a person can act on: what stands there, what should, and what was meant. */
export function explainIssues(issues: readonly Issue[], value: unknown): Finding[] {
  return issues.flatMap((issue) => explain(issue, [], value))
}

function explain(issue: Issue, prefix: ConfigPath, value: unknown): Finding[] {
  const path = [...prefix, ...issue.path.map((step) => (typeof step === 'symbol' ? String(step) : step))]
  if (issue.code === 'unrecognized_keys') return strangeKeys(path, issue.keys, value)
  const last = path.at(-1)
  const parent = valueAt(value, path.slice(0, -1))
  if (typeof last === 'string' && typeof parent === 'object' && parent !== null && !Object.hasOwn(parent, last))
    return [missingKey(path, last, value)]
  if (issue.code === 'invalid_union' && issue.errors.length > 0) return explainUnion(issue, path, value)
  const got = given(withoutSecrets(valueAt(value, path), path))
  const words = `${pathWords(path, value)}: ${expectation(issue, path, value)}, got ${got}`
  return [wrong(path, words + hint(issue, path, value))]
}

function strangeKeys(path: ConfigPath, strange: readonly string[], value: unknown): Finding[] {
  const here = valueAt(value, path)
  const keys = keysAt(value, path)
  const free = keys.filter((key) => property(here, key) === undefined)
  const listed = keys.length === 0 ? '' : `; the keys here are ${list(keys, 'and')}`
  const where = pathWords(path, value)
  return strange.map((key) => {
    const meant = isRestOfNumber(key, here) ? RESTS_OF_NUMBERS : didYouMean(key, free) || listed
    const message = `${where}: there is no key ${given(key)} here${meant}`
    return wrongKey([...path, key], message)
  })
}

const RESTS_OF_NUMBERS = '; a comma ends the value before it: the decimal sign is a point'

/** `{ gain: 31,25 }` is read as gain 31 and a key 25 without a value. */
const isRestOfNumber = (key: string, here: unknown) => /^\d+$/.test(key) && property(here, key) === null

function missingKey(path: ConfigPath, key: string, value: unknown): Finding {
  const parent = path.slice(0, -1)
  const nodes = nodesAt(value, path)
  const choices = nodes.flatMap((node) => node.enum ?? (node.const === undefined ? [] : [node.const]))
  const detail = choices.length > 0 ? `expected ${list(choices.map(String), 'or')}` : describedAt(value, path)
  const message = `${pathWords(parent, value)}: ${key} is missing${detail === undefined ? '' : ` (${detail})`}`
  return { code: 'EVP_CONFIG_INVALID', path: parent, at: 'value', message }
}

/** The alternative that was most likely meant speaks; when none fits at all, all are named. */
function explainUnion(issue: Extract<Issue, { code: 'invalid_union' }>, path: ConfigPath, value: unknown): Finding[] {
  const fitting = issue.errors.filter((branch) => !branch.some(isOtherKind))
  const [best] = fitting.toSorted((a, b) => weight(a) - weight(b))
  const undecided = fitting.length > 1 && Object.keys(valueAt(value, path) ?? {}).length === 0
  if (best !== undefined && !undecided) return best.flatMap((inner) => explain(inner, path, value))
  const described = describedAt(value, path)
  const kinds = [...new Set(issue.errors.flat().flatMap((inner) => (isOtherKind(inner) ? [kindWords(inner)] : [])))]
  const wanted = [kinds.length > 0 ? list(kinds, 'or') : undefined, described].filter((words) => words !== undefined)
  const got = given(valueAt(value, path))
  return [wrong(path, `${pathWords(path, value)}: expected ${wanted.join(': ')}, got ${got}${slip(path, value)}`)]
}

const weight = (branch: readonly Issue[]) =>
  branch.reduce((sum, issue) => sum + (issue.code === 'unrecognized_keys' ? 2 * issue.keys.length : 1), 0)

/** The alternative is of another kind altogether: a number where a mapping stands, say. */
function isOtherKind(issue: Issue): boolean {
  return issue.path.length === 0 && (issue.code === 'invalid_type' || issue.code === 'invalid_value')
}

function kindWords(issue: Issue): string {
  if (issue.code === 'invalid_type') return typeWords(issue.expected)
  return issue.code === 'invalid_value' ? list(issue.values.map(String), 'or') : issue.message
}

function typeWords(expected: string): string {
  const words: Record<string, string> = {
    number: 'a number',
    int: 'a whole number',
    string: 'text',
    boolean: 'true or false',
    object: 'a mapping',
    array: 'a list',
    tuple: 'a list',
  }
  return words[expected] ?? expected
}

function expectation(issue: Issue, path: ConfigPath, value: unknown): string {
  switch (issue.code) {
    case 'invalid_type':
      return `expected ${typeWords(issue.expected)}`
    case 'invalid_value':
      return `expected ${list(issue.values.map(String), 'or')}`
    case 'invalid_union':
      return `expected ${list(choicesAt(path, value), 'or')}`
    case 'too_small':
      return `expected ${sizeWords(issue.origin, issue.inclusive === false ? 'more than' : 'at least', issue.minimum)}`
    case 'too_big':
      return `expected ${sizeWords(issue.origin, issue.inclusive === false ? 'less than' : 'at most', issue.maximum)}`
    case 'invalid_format':
      return issue.message.startsWith('Invalid')
        ? `expected ${describedAt(value, path) ?? issue.format}`
        : issue.message
    default:
      return issue.message
  }
}

function sizeWords(origin: string, relation: string, bound: number | bigint): string {
  if (origin === 'string') return `text of ${relation} ${bound} character${Number(bound) === 1 ? '' : 's'}`
  if (origin === 'array') return `a list of ${relation} ${bound}`
  return `${relation} ${bound}`
}

const choicesAt = (path: ConfigPath, value: unknown): string[] =>
  nodesAt(value, path).flatMap((node) => (node.enum ?? (node.const === undefined ? [] : [node.const])).map(String))

/** What was probably meant, for the slips that are made most. */
function hint(issue: Issue, path: ConfigPath, value: unknown): string {
  const here = valueAt(value, path)
  if (issue.code === 'invalid_type' && issue.expected === 'string' && typeof here === 'number')
    return `; put it in quotes: "${here}"`
  return slip(path, value)
}

function slip(path: ConfigPath, value: unknown): string {
  const here = valueAt(value, path)
  if (typeof here !== 'string') return ''
  if (nodesAt(value, path).some((node) => node.type === 'number' || node.type === 'integer')) {
    if (/^[-+]?\d+,\d+$/.test(here)) return `; the decimal sign is a point: ${here.replace(',', '.')}`
    const bare = /^([-+]?\d+(?:\.\d+)?)\s*[a-zA-Z°%/]+$/.exec(here)?.[1]
    if (bare !== undefined) return `; the unit stands in the key or beside it: write ${bare}`
  }
  return didYouMean(here, choicesAt(path, value))
}
