import fc from 'fast-check'
import { expect, test, vi } from 'vitest'
import { ConfigErrors } from '../../gateway/config/errors.ts'
import { parseConfig } from '../../gateway/config/load.ts'
import { TWO_SIDES } from './support.ts'

vi.setConfig({ testTimeout: 120_000 })

/** Every text is a config or is refused: with errors, each with a code, each inside the file. */
function isConfigOrRefused(text: string): void {
  try {
    expect(parseConfig(text, 'any.yaml').config.version).toBe(1)
  } catch (error) {
    if (!(error instanceof ConfigErrors)) throw error
    const lines = text.split('\n')
    expect(error.errors.length).toBeGreaterThan(0)
    for (const { code, message, place } of error.errors) {
      expect(code, message).toMatch(/^EVP_CONFIG_(YAML|INVALID|REFERENCE|RATE)$/)
      if (place === undefined) continue
      expect(place.line).toBeLessThanOrEqual(lines.length)
      expect(place.column).toBeLessThanOrEqual((lines[place.line - 1] ?? '').length + 1)
    }
  }
}

const yamlish = fc.string({
  unit: fc.constantFrom(
    ...'abz019-_: \n\t[]{},#&*!|>\'"%@`?.~<=\r\u0000\uFEFFé☃',
    '\n  ',
    ': ',
    '- ',
    '---\n',
    '<<: ',
    '&a ',
    '*a ',
    '!!',
  ),
  maxLength: 80,
})

test('text of any kind is a config or is refused, and nothing else ever comes of it', () => {
  fc.assert(fc.property(fc.oneof(fc.string({ unit: 'binary', maxLength: 200 }), yamlish), isConfigOrRefused), {
    numRuns: 400,
  })
})

test('a right config with a piece cut out, doubled or put in is a config or is refused', () => {
  const place = fc.nat(TWO_SIDES.length)
  const change = fc.record({ at: place, length: fc.nat(40), piece: fc.oneof(yamlish, fc.constant(null)) })
  const mutate = (text: string, { at, length, piece }: { at: number; length: number; piece: string | null }) =>
    piece === null ? text.slice(0, at + length) + text.slice(at) : text.slice(0, at) + piece + text.slice(at + length)
  fc.assert(
    fc.property(fc.array(change, { minLength: 1, maxLength: 4 }), (changes) =>
      isConfigOrRefused(changes.reduce(mutate, TWO_SIDES)),
    ),
    { numRuns: 400 },
  )
})

const scalar = fc.oneof(
  fc.string(),
  fc.double(),
  fc.integer(),
  fc.boolean(),
  fc.constant(null),
  fc.constant([]),
  fc.constant({}),
)

test('a right config with any value in any place is a config or is refused', () => {
  const { config } = parseConfig(TWO_SIDES, 'line.yaml')
  const paths = leafPaths(config)
  fc.assert(
    fc.property(fc.constantFrom(...paths), scalar, (path, value) => {
      const copy: unknown = structuredClone(config)
      set(copy, path, value)
      isConfigOrRefused(JSON.stringify(copy, null, 1))
    }),
    { numRuns: 400 },
  )
})

/** Paths of every value of plain data, mappings and lists included. */
function leafPaths(value: unknown): (string | number)[][] {
  if (typeof value !== 'object' || value === null) return [[]]
  const entries: [string | number, unknown][] = Array.isArray(value) ? [...value.entries()] : Object.entries(value)
  return entries.flatMap(([key, item]) => [[key], ...leafPaths(item).map((path) => [key, ...path])])
}

function set(target: unknown, path: readonly (string | number)[], value: unknown): void {
  const [step, ...rest] = path
  if (step === undefined || typeof target !== 'object' || target === null) return
  const holder = target as Record<string | number, unknown>
  if (rest.length === 0) holder[step] = value
  else set(holder[step], rest, value)
}
