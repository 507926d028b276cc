import type { VerdictState } from '../../shared/schemas/now.ts'
import type { PlanTest, RecordEntry, RecordFigure, VerificationRecord } from '../../shared/schemas/verification.ts'
import type { RecordComparison } from '../../shared/schemas/verification-compare.ts'
import { capturePlot } from './capture-plot.ts'
import { type Html, html, Html as Raw } from './html.ts'
import { STYLE } from './style.ts'
import { STATE_SHAPES, STATE_WORDS, timeWords, valueWords, whereWords } from './words.ts'

export interface ReportParts {
  readonly record: VerificationRecord
  /** By SHA-256. */
  readonly photos: ReadonlyMap<string, Buffer>
  readonly comparison: RecordComparison | null
  readonly printedMs: number
}

const CERTIFICATE =
  'This report is advice for a competent person. It is no certificate, and Evenpull is no safety device.'
const RULE =
  'One rule for all: with the value y and its expanded uncertainty U (about 95 %), inside when y ± U lies wholly within the limit, outside when wholly beyond, otherwise undecided. Without good data unknown; a test that was not made is not done.'

/** A record as one page that needs nothing else: no script, no outside resource, every text escaped. */
export function recordReport({ record, photos, comparison, printedMs }: ReportParts): string {
  const { head } = record
  const tests = head.plan.stages.flatMap(({ tests: all }) => all)
  const page = html`<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width,initial-scale=1">
<title>${head.title}: verification of ${head.zoneName}</title><style>${new Raw(STYLE)}</style></head><body>
<main>
<div class="first">
${summaryHead(record, printedMs)}
${summary(record, tests)}
<p class="box">${CERTIFICATE}</p>
</div>
${comparison === null ? null : comparisonPart(comparison)}
${head.plan.stages.map(
  (stage) => html`<section><h2>${stage.title}</h2><p class="caution">${stage.machine} ${stage.caution}</p>
${stage.tests.map((test) => testPart(test, record, photos))}</section>`,
)}
${general(record, photos)}
<h2>How it was judged</h2><p>${RULE}</p><p class="soft">U is rounded to two digits. Uncertainties that were assumed are named in each figure’s source.</p>
<p class="soft">Digest of the record: <span class="digest">${record.digest}</span>. evenpull report CONFIG ${head.id} --check tells whether anything was changed since.</p>
</main></body></html>`
  return page.text
}

function summaryHead({ head, entries, digest, signed }: VerificationRecord, printedMs: number): Html {
  const signatures = entries.filter((entry) => entry.kind === 'signature')
  const plant = [head.plant, head.line].filter((part) => part !== null).join(', ')
  return html`<h1>${head.title}</h1>
<p class="soft">Verification of ${head.zoneName}${plant === '' ? '' : `, ${plant}`}</p>
<dl><dt>Begun</dt><dd>${timeWords(head.begunMs)} by ${head.begunBy}</dd>
<dt>Signed</dt><dd>${signed ? signatures.map((entry) => `${entry.kind === 'signature' ? entry.name : ''}, ${timeWords(entry.timeMs)}`).join('; ') : 'not signed: the record is open'}</dd>
<dt>Zone</dt><dd>${head.zone}, config revision ${head.revision}</dd>
<dt>Software</dt><dd>evenpull ${head.software}</dd>
<dt>Digest</dt><dd class="digest">${digest}</dd>
<dt>Printed</dt><dd>${timeWords(printedMs)}</dd></dl>`
}

type Standing = VerdictState | 'not for this zone'

const ORDER: readonly (readonly [Standing, string])[] = [
  ['outside', 'Outside its limit'],
  ['unknown', 'Unknown'],
  ['undecided', 'Undecided'],
  ['not-done', 'Not done'],
  ['inside', 'Proven: inside'],
  ['not for this zone', 'Does not apply'],
]

function standingOf(
  test: PlanTest,
  entries: readonly RecordEntry[],
): { readonly state: Standing; readonly words: string } {
  if (!test.applies) return { state: 'not for this zone', words: test.reason ?? '' }
  const newest = entries.findLast(
    (entry) => (entry.kind === 'result' || entry.kind === 'not-done') && entry.test === test.id,
  )
  if (newest?.kind === 'result') return { state: newest.result.state, words: newest.result.sentence }
  return { state: 'not-done', words: newest?.kind === 'not-done' ? newest.reason : 'nothing was kept' }
}

function summary({ entries }: VerificationRecord, tests: readonly PlanTest[]): Html {
  const all = tests.map((test) => ({ test, ...standingOf(test, entries) }))
  const groups = ORDER.map(([state, title]) => ({ state, title, of: all.filter((one) => one.state === state) })).filter(
    ({ of }) => of.length > 0,
  )
  return html`<h2>What was proven, and what was not</h2>
<p>${groups.map(({ title, of }) => `${title.toLowerCase()}: ${of.length}`).join(' · ')}</p>
${groups.map(
  ({ title, of, state }) =>
    html`<h3>${title} (${of.length})</h3><ul>${of.map(
      ({ test, words }) =>
        html`<li>${test.title}${state === 'inside' ? '' : html`<span class="soft">: ${words}</span>`}</li>`,
    )}</ul>`,
)}`
}

function testPart(test: PlanTest, { entries }: VerificationRecord, photos: ReadonlyMap<string, Buffer>): Html {
  const own = entries.filter((entry) => 'test' in entry && entry.test === test.id)
  const { state, words } = standingOf(test, entries)
  const shape = state === 'not for this zone' ? '' : STATE_SHAPES[state]
  return html`<div><h3>${test.title} <span class="state" data-state="${state}">${shape} ${state === 'not for this zone' ? 'does not apply' : STATE_WORDS[state]}</span></h3>
<p class="soft">${test.proves} ${test.effect}</p>
${test.caution === null ? null : html`<p class="caution">${test.caution}</p>`}
${own.length === 0 ? html`<p>${words}</p>` : phases(own).map((entry) => entryPart(entry, entries, photos))}</div>`
}

/** As found before as left, each in the order in which it was made. */
function phases(own: readonly RecordEntry[]): readonly RecordEntry[] {
  const rank = (entry: RecordEntry) => (entry.kind === 'result' && entry.phase === 'as-left' ? 1 : 0)
  return own.toSorted((a, b) => rank(a) - rank(b) || a.seq - b.seq)
}

function entryPart(entry: RecordEntry, all: readonly RecordEntry[], photos: ReadonlyMap<string, Buffer>): Html {
  const corrections = all.filter((one) => one.kind === 'correction' && one.of === entry.seq)
  const made = `Entry ${entry.seq}, ${timeWords(entry.timeMs)}, ${entry.who}`
  return html`<div class="entry"><p class="soft">${made}${entry.kind === 'result' ? `; ${entry.phase === 'as-found' ? 'as found' : 'as left'}, attempt ${entry.attempt}, config ${entry.revision}` : ''}</p>
${bodyOf(entry, photos)}
${corrections.map((one) => html`<p class="correction">Corrected in entry ${one.seq}, ${timeWords(one.timeMs)}, ${one.who}: ${one.kind === 'correction' ? one.text : ''}</p>`)}</div>`
}

function bodyOf(entry: RecordEntry, photos: ReadonlyMap<string, Buffer>): Html | null {
  switch (entry.kind) {
    case 'result':
      return html`<p>${entry.result.sentence}</p>${entry.captures.map(capturePlot)}${figures(entry.result.figures)}
${entry.result.hints.length === 0 ? null : html`<p>Look at:</p><ul>${entry.result.hints.map((hint) => html`<li>${hint}</li>`)}</ul>`}
${typedPart(entry.values)}`
    case 'not-done':
      return html`<p>Not done: ${entry.reason}</p>`
    case 'note':
      return html`<p>Note: ${entry.text}</p>`
    case 'photo':
      return photoPart(entry, photos)
    case 'signature':
      return html`<p>Signed by ${entry.name}.</p>`
    case 'correction':
      return html`<p>Correction of entry ${entry.of}: ${entry.text}</p>`
  }
}

function photoPart(entry: Extract<RecordEntry, { kind: 'photo' }>, photos: ReadonlyMap<string, Buffer>): Html {
  const bytes = photos.get(entry.sha256)
  if (bytes === undefined) return html`<p>A photo (${entry.sha256}) that is not there any more.</p>`
  return html`<figure><img alt="${entry.caption === '' ? 'photo' : entry.caption}" src="data:${entry.mediaType};base64,${bytes.toString('base64')}"><figcaption>${entry.caption}</figcaption></figure>`
}

function typedPart(values: Readonly<Record<string, unknown>>): Html | null {
  const typed = Object.entries(values)
  if (typed.length === 0) return null
  return html`<p class="soft">Typed: ${typed.map(([id, value]) => `${id} ${value === true ? 'yes' : value === false ? 'no' : String(value)}`).join('; ')}</p>`
}

function figures(list: readonly RecordFigure[]): Html | null {
  if (list.length === 0) return null
  return html`<table><thead><tr><th scope="col">Figure</th><th scope="col">Value ± U</th><th scope="col">Limit and its source</th><th scope="col">How it was got</th><th scope="col">Verdict</th></tr></thead><tbody>
${list.map(
  (
    figure,
  ) => html`<tr><th scope="row">${figure.title}${whereWords(figure) === '' ? '' : `, ${whereWords(figure)}`}</th><td>${valueWords(figure)}</td>
<td>${figure.limit === null ? 'for information' : html`${figure.limit.text}<br><span class="soft">${figure.limit.source}</span>`}</td>
<td class="soft">${figure.why.formula}; ${figure.why.source}</td>
<td class="state" data-state="${figure.verdict.state}">${figure.limit === null ? '' : `${STATE_SHAPES[figure.verdict.state]} ${STATE_WORDS[figure.verdict.state]}`}</td></tr>`,
)}</tbody></table>`
}

/** What belongs to no test. */
function general({ entries }: VerificationRecord, photos: ReadonlyMap<string, Buffer>): Html | null {
  const rest = entries.filter(
    (entry) =>
      entry.kind === 'signature' ||
      entry.kind === 'correction' ||
      (entry.kind !== 'result' && entry.kind !== 'not-done' && entry.test === null),
  )
  if (rest.length === 0) return null
  return html`<section><h2>Notes, corrections, signature</h2>${rest.map((entry) => entryPart(entry, [], photos))}</section>`
}

function comparisonPart({ earlier, changed, unchanged, notComparable }: RecordComparison): Html {
  return html`<section><h2>Against an earlier record</h2><p class="soft">${earlier.title}, begun ${timeWords(earlier.begunMs)}. Changed means beyond the uncertainty of both.</p>
<h3>Changed (${changed.length})</h3><ul>${changed.map(({ sentence }) => html`<li>${sentence}</li>`)}</ul>
<h3>Not told apart (${unchanged.length})</h3><ul>${unchanged.map(({ sentence }) => html`<li>${sentence}</li>`)}</ul>
<h3>Not comparable (${notComparable.length})</h3><p class="soft">Made in one of the records only, or told otherwise: ${[...new Set(notComparable.map(({ testTitle }) => testTitle))].join('; ')}.</p></section>`
}
