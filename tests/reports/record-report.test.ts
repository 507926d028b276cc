import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { pagePolicy } from '../../gateway/http/security-headers.ts'
import { escapeHtml } from '../../gateway/reports/html.ts'
import { recordReport } from '../../gateway/reports/record-report.ts'
import { standingOf } from '../../gateway/reports/standing.ts'
import { typedWords, valueWords } from '../../gateway/reports/words.ts'
import { RECORD_SCHEMA_FILE, recordSchemaText } from '../../gateway/reports/write-schema.ts'
import { compareRecords } from '../../lib/verification/compare.ts'
import type { RecordFigure } from '../../shared/schemas/verification/result.ts'
import type { VerificationRecord } from '../../shared/schemas/verification.ts'
import { absent, runPython } from '../http/support/python-peer.ts'
import { titled } from '../integration/support/installed.ts'
import { contextOf, recordOf, resultEntry } from '../verification/support/made-record.ts'
import { HOSTILE, PHOTO, PNG, RECORD_TITLES, recordNamed } from '../verification/support/made-records.ts'

const NO_PHOTOS = new Map<string, Buffer>()
const pageOf = (record: VerificationRecord, more: Partial<Parameters<typeof recordReport>[0]> = {}): string =>
  recordReport({
    record,
    photos: NO_PHOTOS,
    comparison: null,
    printedMs: 1_760_000_300_000,
    timeZone: 'UTC',
    paper: null,
    ...more,
  })
/** What a reader sees: tags and style taken off, references resolved. */
const seen = (page: string): string =>
  page
    .replace(/<style>[\s\S]*?<\/style>/, '')
    // Inside a line: what a person typed, and texts that are told apart.
    .replace(/<span( translate="no")?>/g, '')
    .replace(/(?<=<span class="[^"]*"[^>]*>[^<]*)<\/span>/g, ' ')
    .replaceAll('</span>', '')
    .replace(/<q [^>]*>/g, '“')
    .replaceAll('</q>', '”')
    .replace(/<[^>]*>/g, ' ')
    .replaceAll('&lt;', '<')
    .replaceAll('&gt;', '>')
    .replaceAll('&quot;', '"')
    .replaceAll('&#39;', "'")
    .replaceAll('&amp;', '&')
    .replace(/\s+/g, ' ')

const tagsOf = (page: string): readonly string[] =>
  [...page.matchAll(/<\/?([a-z][a-z0-9]*)/g)].map(([, name]) => name ?? '')
const context = contextOf('install')

describe('the first page', () => {
  it.each(RECORD_TITLES)('counts every test of the plan once: %s', (title) => {
    const record = recordNamed(title)
    const tests = record.head.plan.stages.flatMap((stage) => stage.tests)
    const counts = [...pageOf(record).matchAll(/<li><b>(\d+)<\/b>/g)].map(([, count]) => Number(count))
    expect(counts).toHaveLength(6)
    expect(counts.reduce((sum, count) => sum + count, 0)).toBe(tests.length)
    const inside = tests.filter((test) => standingOf(test, record.entries).state === 'inside').length
    expect(counts[0]).toBe(inside)
  })

  it('says whose record it is, by which config and program, who signed when, and its digest', () => {
    const record = recordNamed('whole')
    const first = seen(pageOf(record)).split('Whether anything was changed since')[0] ?? ''
    for (const words of [
      'Zone Laminator outfeed · Example plant · Line 7',
      'Signed by A. Fitter, 2025-10-09 08:55:',
      `config revision ${record.head.revision}`,
      'Evenpull 0.1.0',
      record.digest,
      'This report is no certificate: it is advice for a competent person.',
    ])
      expect(first).toContain(words)
  })

  it('says of an open record that it is not signed', () => {
    expect(seen(pageOf(recordNamed('nothing done')))).toContain('Not signed: this record is open and may still grow.')
  })

  it('never counts a test as proven that was not done or does not apply', () => {
    const record = recordNamed('nothing done')
    const tests = record.head.plan.stages.flatMap((stage) => stage.tests)
    const states = tests.map((test) => standingOf(test, record.entries).state)
    expect(new Set(states)).toEqual(new Set(['not-done', 'not-here']))
  })

  it('counts by the newest that was said of a test', () => {
    const made = (...entries: Parameters<typeof recordOf>[2]) => recordOf(context, 'Newest', entries)
    const bad = resultEntry(context, 'fit.runout', { runout: 0.2 })
    const good = resultEntry(context, 'fit.runout', { runout: 0.01 })
    const refused = { kind: 'not-done' as const, test: 'fit.runout' as const, title: 'Runout', reason: 'guard stuck' }
    const stateIn = ({ head, entries }: VerificationRecord) => {
      const test = head.plan.stages.flatMap((stage) => stage.tests).find(({ id }) => id === 'fit.runout')
      return test === undefined ? undefined : standingOf(test, entries).state
    }
    expect([made(bad, good), made(good, bad), made(good, refused)].map(stateIn)).toEqual([
      'inside',
      'outside',
      'not-done',
    ])
  })
})

describe('the report of a record', () => {
  it.each(RECORD_TITLES)('holds every figure, reason, note, hint and correction: %s', (title) => {
    const record = recordNamed(title)
    const text = seen(pageOf(record))
    const has = (words: string) => expect(text).toContain(seen(escapeHtml(words)).trim())
    for (const entry of record.entries) {
      if (entry.kind === 'note' || entry.kind === 'correction') has(entry.text)
      if (entry.kind === 'not-done') has(entry.reason)
      if (entry.kind !== 'result') continue
      for (const hint of entry.result.hints) has(hint)
      for (const figure of entry.result.figures) {
        has(figure.title)
        has(valueWords(figure))
        if (figure.limit !== null) has(figure.limit.source)
      }
    }
  })

  it.each(RECORD_TITLES)('asks for nothing and runs nothing, also by the policy it is served with: %s', (title) => {
    const page = pageOf(recordNamed(title), { photos: new Map([[PHOTO, PNG]]) })
    const tags = new Set(tagsOf(page))
    for (const tag of ['script', 'link', 'iframe', 'object', 'embed', 'base', 'form']) expect(tags).not.toContain(tag)
    expect(page).not.toMatch(/\s(?:on[a-z]+|style)=["']/)
    expect(
      [...page.matchAll(/\s(?:src|href)="([^"]*)"/g)]
        .map(([, to]) => to)
        .filter((to) => !/^(#|data:image\/)/.test(to ?? '')),
    ).toEqual([])
    expect(pagePolicy(page).match(/'sha256-/g)).toHaveLength(1)
  })

  it('is made of the same elements whatever people typed', () => {
    const plain = tagsOf(pageOf(typedBy('Somebody')))
    fc.assert(
      fc.property(
        fc.oneof(fc.string({ unit: 'binary', minLength: 1, maxLength: 60 }), fc.constant(HOSTILE)),
        (text) => {
          expect(tagsOf(pageOf(typedBy(text)))).toEqual(plain)
        },
      ),
      { numRuns: 60 },
    )
  })

  it('lets nobody out of the style sheet by an id or a digest', () => {
    const record = recordNamed('nothing done')
    const id = '"}</style><script>alert(1)</script>'
    const page = pageOf({ ...record, digest: id, head: { ...record.head, id } })
    expect(tagsOf(page).filter((tag) => tag === 'style')).toHaveLength(2)
    expect(page).not.toContain('<script')
  })

  it('shows as found beside as left with what the work changed, and corrections where they belong', () => {
    const text = seen(pageOf(recordNamed('long names')))
    expect(text).toContain(
      'Runout 0.090 ± 0.010 mm outside 0.020 ± 0.010 mm inside -0.070 ± 0.014 mm changed, 140 % of what its limit allows',
    )
    const whole = seen(pageOf(recordNamed('whole')))
    const found = whole.indexOf('As found, attempt 1')
    expect(whole.slice(found, whole.indexOf('As left, attempt 2'))).toContain('Corrected in entry')
  })

  it('shows a photo that is kept, and says of one that is not', () => {
    const record = recordNamed('whole')
    expect(pageOf(record, { photos: new Map([[PHOTO, PNG]]) })).toContain('src="data:image/png;base64,')
    expect(seen(pageOf(record))).toContain(
      'A photo that is not there any more, or is not the one that was kept: Dial at mid-span',
    )
  })

  it('never draws as a photo what is no picture', () => {
    const record = recordNamed('whole')
    const entries = record.entries.map((e) => (e.kind === 'photo' ? { ...e, mediaType: 'image/svg+xml' } : e))
    expect(pageOf({ ...record, entries }, { photos: new Map([[PHOTO, PNG]]) })).not.toContain('<img')
  })

  it('draws a plot for every capture, one of weights, and breaks a line where no sample was good', () => {
    const page = pageOf(recordNamed('sixty captures'))
    expect([...page.matchAll(/<svg class="plot"/g)]).toHaveLength(60 + 2)
    const [path = ''] = [...page.matchAll(/<path d="([^"]*)" class="trace"/g)].map(([, d]) => d ?? '')
    expect(path.match(/M/g)).toHaveLength(2)
  })

  it('is for the size of paper that was asked for', () => {
    const record = recordNamed('nothing done')
    expect(pageOf(record, { paper: 'letter' })).toContain('@page{size:letter;')
    expect(pageOf(record, { paper: 'a4' })).toContain('@page{size:A4;')
    expect(pageOf(record)).toContain('@page{margin:')
  })

  it('tells every time by the clock of the line, with its offset; the data stay epoch ms', () => {
    const record = recordNamed('whole')
    const comparison = compareRecords(recordNamed('long names'), record)
    const times = (timeZone: string) =>
      seen(pageOf(record, { timeZone, comparison })).match(/\d{4}-\d\d-\d\d \d\d:\d\d:\d\d \S+/g) ?? []
    const [local, utc] = [times('Asia/Kolkata'), times('UTC')]
    expect(utc.length).toBeGreaterThan(record.entries.length)
    expect(local).toHaveLength(utc.length)
    for (const [i, time] of local.entries()) {
      expect(time).toContain(' UTC+05:30')
      expect(Date.parse(time.replace(' UTC', '').replace(' ', 'T').slice(0, 25))).toBe(
        Date.parse(`${utc[i]?.slice(0, 19).replace(' ', 'T')}Z`),
      )
    }
  })

  it('says of a capture that was longer than is read sample by sample which part its means are of', () => {
    const record = recordNamed('sixty captures')
    const long = (entry: VerificationRecord['entries'][number]) => {
      if (entry.kind !== 'result') return entry
      const captures = entry.captures.map((one) => ({
        ...one,
        fromMs: one.toMs - 1_800_000,
        sampledFromMs: one.toMs - 600_000,
      }))
      return { ...entry, captures }
    }
    const text = seen(pageOf({ ...record, entries: record.entries.map(long) }))
    expect(text.match(/1800\.0 s; picture, means and lines of its last 600\.0 s/g)).toHaveLength(60)
    expect(seen(pageOf(record))).not.toContain('of its last')
  })

  it('names what changed since an earlier record on its first page and in rows', () => {
    const earlier = recordOf(context, 'A year ago', [resultEntry(context, 'fit.runout', { runout: 0.05 })])
    const later = recordOf(context, 'Now', [resultEntry(context, 'fit.runout', { runout: 0.02 })])
    const text = seen(pageOf(later, { comparison: compareRecords(earlier, later) }))
    expect(text).toMatch(
      /Against “A year ago” , begun 2025-10-09 08:53:20 UTC: 1 changed, 0 not told apart, 0 not comparable\./,
    )
    expect(text).toContain(
      'Runout 0.050 ± 0.010 mm undecided 0.020 ± 0.010 mm inside -0.030 ± 0.014 mm changed, 60 % of what its limit allows',
    )
  })
})

/** A record in which this text stands wherever somebody types. */
function typedBy(text: string): VerificationRecord {
  const base = recordNamed('hostile text')
  const { head } = base
  return {
    ...base,
    head: { ...head, title: text, zoneName: text, plant: text, line: text, begunBy: text, config: { [text]: text } },
    entries: base.entries.map((entry) => ({
      ...entry,
      who: text,
      ...(entry.kind === 'result' ? { values: { typed: text } } : {}),
      ...('text' in entry ? { text } : {}),
      ...('reason' in entry ? { reason: text } : {}),
      ...('caption' in entry ? { caption: text } : {}),
      ...('name' in entry ? { name: text } : {}),
    })),
  }
}

describe('words of the report', () => {
  const figure = (value: number | null, U: number | null, unit = 'N') => ({ value, U, unit, answer: null })
  // JCGM 100, 7.2.6 (V2): two digits of U are enough, the value to the same place: m_S = (100.02147 ± 0.00079) g (7.2.4).
  it.each([
    [figure(100.021471, 0.00079, 'g'), '100.02147 ± 0.00079 g'],
    [figure(-0.0004, 0.013), '0.000 ± 0.013 N'],
    [figure(1234.5, 120), '1235 ± 120 N'],
    [figure(12.3456, null), '12.3 N'],
    [figure(null, null), 'not known'],
  ] as readonly (readonly [Pick<RecordFigure, 'value' | 'U' | 'unit' | 'answer'>, string])[])('%j', (given, words) => {
    expect(valueWords(given)).toBe(words)
  })

  it('what was typed stands in the words, units and order of the plan', () => {
    const fields = contextFields('known-weight.series')
    expect(
      typedWords({ cycle: 2, direction: 'down', mass: 5, own: true }, fields).map(({ text }) => seen(text)),
    ).toEqual(['Weight with hook and hanger: 5 kg', 'Reached: going down', 'Cycle: 2', 'own: yes'])
  })
})

const contextFields = (id: string) =>
  recordNamed('nothing done')
    .head.plan.stages.flatMap((stage) => stage.tests)
    .find((test) => test.id === id)?.captures[0]?.fields ?? []

describe('the record as data', () => {
  it('has a published JSON Schema that is up to date', () => {
    expect(readFileSync(RECORD_SCHEMA_FILE, 'utf8')).toBe(recordSchemaText())
  })

  const reason = absent('jsonschema')
  it.skipIf(reason !== null)(
    titled('fits that JSON Schema by an independent validator, and a broken one does not', reason),
    () => {
      const program = `
import json, sys
from jsonschema import Draft7Validator
schema, records = json.load(sys.stdin)
Draft7Validator.check_schema(schema)
print(json.dumps([[e.message for e in Draft7Validator(schema).iter_errors(r)] for r in records]))`
      const right = RECORD_TITLES.map(recordNamed)
      const whole = recordNamed('whole')
      const [first, ...rest] = whole.entries
      const wrong = [
        { ...whole, digest: undefined },
        { ...whole, head: { ...whole.head, format: 'another/1' } },
        { ...whole, entries: [{ ...first, seq: 0 }, ...rest] },
        { ...whole, entries: [{ ...first, kind: 'guess' }] },
      ]
      const told = runPython(program, [JSON.parse(recordSchemaText()), [...right, ...wrong]]) as string[][]
      expect(told.slice(0, right.length)).toEqual(right.map(() => []))
      expect(told.slice(right.length).every((errors) => errors.length > 0)).toBe(true)
    },
  )
})
