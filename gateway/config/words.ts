import type { ConfigPath } from './finding.ts'
import { valueAt } from './json-schema.ts'

/** What stands in the file, as a reader would quote it. */
export function given(value: unknown): string {
  if (value === undefined || value === null) return 'nothing'
  if (typeof value === 'string') return JSON.stringify(shortened(withoutCredentials(value)))
  if (isPair(value)) return value.join(' and ')
  if (Array.isArray(value)) return `a list of ${value.length}`
  return typeof value === 'object' ? 'a mapping' : String(value)
}

const shortened = (text: string): string => (text.length > 60 ? `${text.slice(0, 57)}…` : text)

/** A password in an address would go from here to logs and pages. */
const withoutCredentials = (text: string): string => text.replace(/:\/\/[^/?#]*@/, '://…@')

const isPair = (value: unknown): value is readonly number[] =>
  Array.isArray(value) && value.length === 2 && value.every((part) => typeof part === 'number')

/** `a, b or c`. */
export function list(words: readonly string[], joint: 'and' | 'or'): string {
  if (words.length < 2) return words[0] ?? ''
  return `${words.slice(0, -1).join(', ')} ${joint} ${words.at(-1)}`
}

const SINGULAR: Record<string, string> = { devices: 'device', channels: 'channel', zones: 'zone' }

/**
 * A path in words: `device amplifier: rate_hz` where the item has an id, `devices[0]: rate_hz` where not.
 * The top of the file is `the file`.
 */
export function pathWords(path: ConfigPath, value: unknown): string {
  const [top, index, ...rest] = path
  if (top === undefined) return 'the file'
  if (typeof top !== 'string' || typeof index !== 'number') return dotted(path)
  const id = valueAt(value, [top, index, 'id'])
  const named = typeof id === 'string' && id.length <= 48 && top in SINGULAR
  const item = named ? `${SINGULAR[top]} ${id}` : `${top}[${index}]`
  return rest.length === 0 ? item : `${item}: ${dotted(rest)}`
}

const dotted = (path: ConfigPath): string =>
  path.map((step, i) => (typeof step === 'number' ? `[${step}]` : i === 0 ? step : `.${step}`)).join('')
