import type { Random } from '../../lib/uncertainty/random.ts'

/** Whole number from 0 to below `n`. */
export const below = (random: Random, n: number): number => Math.floor(random.uniform() * n)
export const pick = <T>(random: Random, from: readonly T[]): T => from[below(random, from.length)] as T

/** Pieces that parsers have stumbled over before. */
const PIECES = [
  '',
  '\0',
  '\uFEFF',
  '\uD800',
  '\r\n',
  '\n\n',
  '\t',
  '"',
  "'",
  '{',
  '}',
  '[',
  ']',
  ',',
  ';',
  ':',
  ': ',
  '- ',
  '&a ',
  '*a ',
  '<<: ',
  '!!binary ',
  '---\n',
  '#',
  '__proto__',
  'constructor',
  'null',
  'true',
  'NaN',
  'Infinity',
  '-0',
  '1e999',
  '-1e308',
  '1e-400',
  '9007199254740993',
  '0x10',
  '1_000',
  '1,5',
  '٣',
  '½',
  '../../',
  '\u202E',
  'é☃𝄞',
] as const

/** `text` with one to four places cut out, doubled, exchanged or put in. */
export function mutatedText(random: Random, text: string): string {
  let out = text
  for (let n = 1 + below(random, 4); n > 0; n--) {
    const at = below(random, out.length + 1)
    const length = below(random, 24)
    const head = out.slice(0, at)
    const tail = out.slice(at + length)
    switch (below(random, 5)) {
      case 0:
        out = head + tail
        break
      case 1:
        out = head + out.slice(at, at + length).repeat(2) + tail
        break
      case 2:
        out = head + pick(random, PIECES) + out.slice(at)
        break
      case 3:
        out = head + pick(random, PIECES) + tail
        break
      default:
        out = head + String.fromCodePoint(below(random, 0xd800)) + out.slice(at + 1)
    }
  }
  return out
}

/** Bytes with one to four bits turned, bytes set, cut off or added. */
export function mutatedBytes(random: Random, bytes: Buffer): Buffer {
  let out = Buffer.from(bytes)
  for (let n = 1 + below(random, 4); n > 0; n--) {
    const at = below(random, Math.max(1, out.length))
    switch (below(random, 4)) {
      case 0:
        if (out.length > 0) out[at] = (out[at] ?? 0) ^ (1 << below(random, 8))
        break
      case 1:
        if (out.length > 0) out[at] = below(random, 256)
        break
      case 2:
        out = out.subarray(0, at)
        break
      default:
        out = Buffer.concat([out.subarray(0, at), noise(random, 1 + below(random, 8)), out.subarray(at)])
    }
  }
  return out
}

export const noise = (random: Random, length: number): Buffer =>
  Buffer.from(Array.from({ length }, () => below(random, 256)))

/** A JSON value with one leaf or branch exchanged for something else; the value itself is left alone. */
export function mutatedJson(random: Random, value: unknown): unknown {
  if (typeof value !== 'object' || value === null || random.uniform() < 0.15) return pick(random, LEAVES)
  const keys = Object.keys(value)
  if (keys.length === 0) return pick(random, LEAVES)
  const key = pick(random, keys)
  const copy: Record<string, unknown> | unknown[] = Array.isArray(value) ? [...value] : { ...value }
  const fields = copy as Record<string, unknown>
  const chance = random.uniform()
  if (chance < 0.1) delete fields[key]
  else if (chance < 0.2) fields[`${key}${pick(random, PIECES)}`] = pick(random, LEAVES)
  else fields[key] = mutatedJson(random, fields[key])
  return copy
}

const LEAVES: readonly unknown[] = [
  null,
  true,
  false,
  0,
  -0,
  -1,
  1.5,
  1e308,
  -1e308,
  5e-324,
  Number.MAX_SAFE_INTEGER + 1,
  '',
  '0',
  'NaN',
  'x'.repeat(3000),
  '\0',
  '\uD800',
  '__proto__',
  [],
  {},
  [[[[[[]]]]]],
  Array.from({ length: 300 }, (_, i) => i),
  { toString: 1, valueOf: 2 },
]
