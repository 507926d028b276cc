import fc from 'fast-check'
import { describe, expect, it, vi } from 'vitest'
import { parse, stringify } from 'yaml'
import { keyEdits, withEdits } from '../../gateway/config/edit/key-edits.ts'
import { editConfigText } from '../../gateway/config/edit.ts'

vi.setConfig({ testTimeout: 60_000 })

const scalar = fc.oneof(
  fc.double({ noNaN: true, noDefaultInfinity: true }).map((x) => (Object.is(x, -0) ? 0 : x)),
  fc.integer(),
  fc.string({ unit: 'grapheme', maxLength: 12 }),
  fc.boolean(),
)
const key = fc.stringMatching(/^[a-z][a-z_]{0,6}$/)
const { value } = fc.letrec((tie) => ({
  value: fc.oneof({ maxDepth: 3 }, scalar, tie('mapping'), fc.array(tie('value'), { maxLength: 4 })),
  mapping: fc.dictionary(key, tie('value'), { maxKeys: 5, noNullPrototype: true }),
}))
const mapping = fc.dictionary(key, value, { minKeys: 1, maxKeys: 6, noNullPrototype: true })

/** YAML as several hands write it, with a comment above and behind what can carry one. */
function written(content: unknown, style: { flow: boolean; indent: number; crlf: boolean; comments: boolean }): string {
  const text = stringify(content, {
    indent: style.indent,
    lineWidth: 0,
    collectionStyle: style.flow ? 'flow' : 'any',
    indentSeq: !style.crlf,
  })
  const commented = style.comments && !style.flow ? withComments(text) : text
  return style.crlf ? commented.replaceAll('\n', '\r\n') : commented
}

/** Not inside text that goes on over lines, where # is no comment. */
function withComments(text: string): string {
  if (/[|>]|["']/.test(text)) return text
  return text.replace(/^(\s*)(\w+:.*|- .*)$/gm, (line, indent: string) => `${indent}# above\n${line} # behind`)
}

const style = fc.record({
  flow: fc.boolean(),
  indent: fc.integer({ min: 2, max: 4 }),
  crlf: fc.boolean(),
  comments: fc.boolean(),
})

describe('any edit of any file', () => {
  it('turns what the file says into what was wanted, and nothing else', () => {
    fc.assert(
      fc.property(mapping, mapping, style, (before, after, form) => {
        const text = written(before, form)
        const edits = keyEdits(parse(text), after, [])
        const out = editConfigText(text, edits, 'any.yaml')
        expect(withEdits(parse(out), [])).toEqual(withEdits(after, []))
      }),
      { numRuns: 150 },
    )
  })

  it('loses no comment where only plain values change', () => {
    fc.assert(
      fc.property(mapping, style, fc.func(fc.integer()), (before, form, other) => {
        const text = written(before, { ...form, comments: true })
        const changed = mapped(parse(text), (x) => (typeof x === 'number' ? other(x) : x))
        const out = editConfigText(text, keyEdits(parse(text), changed, []), 'any.yaml')
        expect(out.match(/# (above|behind)/g)).toEqual(text.match(/# (above|behind)/g))
        expect(out.split('\n').length).toBe(text.split('\n').length)
      }),
      { numRuns: 100 },
    )
  })

  it.each(['\u00a0', '\u3000', '\u2028', '\ufeff', '\n', ' \n ', 'a\n'])(
    'keeps the rest as typed around the text %j',
    (added) => {
      const text = '# top\na: 1 # one\nd: [1, 2]\n'
      const edited = editConfigText(text, [{ path: ['aa'], value: added }], 'any.yaml')
      expect(parse(edited).aa).toBe(added)
      expect(editConfigText(edited, [{ path: ['aa'] }], 'any.yaml')).toBe(text)
    },
  )

  it('an edit and the edit back leave the file as it was typed', () => {
    const text = '# top\na: 1 # one\nb:\n  c: 2\n  # end of b\nd: [1, 2]\n'
    fc.assert(
      fc.property(key, value, (name, added) => {
        fc.pre(!['a', 'b', 'd'].includes(name))
        const edited = editConfigText(text, [{ path: [name], value: added }], 'any.yaml')
        expect(editConfigText(edited, [{ path: [name] }], 'any.yaml')).toBe(text)
      }),
    )
  })
})

function mapped(content: unknown, change: (x: unknown) => unknown): unknown {
  if (Array.isArray(content)) return content.map((item) => mapped(item, change))
  if (typeof content !== 'object' || content === null) return change(content)
  return Object.fromEntries(Object.entries(content).map(([name, item]) => [name, mapped(item, change)]))
}
