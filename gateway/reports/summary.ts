import { unitsWords } from '../../lib/summary/units-words.ts'
import type { RecordEntry, VerificationRecord } from '../../shared/schemas/verification.ts'
import type { RecordComparison } from '../../shared/schemas/verification-compare.ts'
import type { TimeWords } from '../local-time.ts'
import { comparisonLine } from './comparison-part.ts'
import { grouped } from './grouped.ts'
import { type Html, html, joined, typed } from './html.ts'
import { standingMark } from './marks.ts'
import type { ReportReader } from './report-reader.ts'
import { type Standing, standingOf, type TestStanding } from './standing.ts'
import { shortened } from './words.ts'

/** In the order of the counts. */
const COUNTED: readonly (readonly [Standing, string])[] = [
  ['inside', 'Proven'],
  ['outside', 'Not proven: outside'],
  ['undecided', 'Undecided'],
  ['unknown', 'Unknown'],
  ['not-done', 'Not done'],
  ['not-here', 'Does not apply'],
]
/** What must be seen stands first. */
const LISTED: readonly Standing[] = ['outside', 'undecided', 'unknown', 'not-done', 'inside', 'not-here']
/** From so many open tests on their list is set smaller, so that all of it stays on the first page. */
const MANY = 24
/** Characters of a sentence on the first page, the fewer the more of them there are; the whole stands with its test. */
const mostOf = (count: number): number => (count > MANY ? 40 : count > 12 ? 90 : 170)

export const CERTIFICATE =
  'This report is no certificate: it is advice for a competent person. Evenpull is a monitor and no safety device; the site’s procedures, the maker’s instructions and local codes come first.'

type Told = ReportReader['told']

/** The first page: whose record it is, and what was proven, what was not, what is open. */
export function summary(
  record: VerificationRecord,
  comparison: RecordComparison | null,
  { printedMs, time, reader }: { readonly printedMs: number; readonly time: TimeWords; readonly reader: ReportReader },
): Html {
  const tests = record.head.plan.stages.flatMap((stage) => stage.tests)
  const all = tests.map((test) => standingOf(test, record.entries))
  return html`<div class="first">${headPart(record, time)}
<section aria-labelledby="proven"><h2 id="proven">What was proven, and what was not</h2>
<ul class="counts">${COUNTED.map(([state, title]) => html`<li><b>${all.filter((one) => one.state === state).length}</b> <span>${title}</span></li>`)}</ul>
${comparison === null ? null : comparisonLine(comparison, time)}<div class="lists" data-many="${all.filter(isOpen).length > MANY ? 'yes' : 'no'}">${LISTED.map((state) => listPart(state, all, reader.told))}</div></section>
<p class="box">${CERTIFICATE}</p>
${aboutPart(record, printedMs, time, reader)}</div>`
}

function headPart({ head, entries, signed }: VerificationRecord, time: TimeWords): Html {
  const place = [head.plant, head.line].filter((part) => part !== null && part !== '')
  return html`<header><p class="kind">Verification record</p><h1 translate="no">${head.title}</h1>
<p class="where">Zone <span translate="no">${[head.zoneName, ...place].join(' · ')}</span></p>
<p class="signed">${signed ? signatures(entries, time) : 'Not signed: this record is open and may still grow.'}</p></header>`
}

const signatures = (entries: readonly RecordEntry[], time: TimeWords): Html =>
  joined(
    entries.flatMap((entry) =>
      entry.kind === 'signature'
        ? [html`<span>Signed by <span translate="no">${entry.name}</span>, ${time(entry.timeMs)}</span>`]
        : [],
    ),
    '; ',
  )

function listPart(state: Standing, all: readonly TestStanding[], told: Told): Html | null {
  const of = all.filter((one) => one.state === state)
  const title = COUNTED.find(([one]) => one === state)?.[1] ?? ''
  if (of.length === 0) return null
  return html`<div class="list"><h3>${state === 'not-here' ? null : standingMark(state)} <span class="${state === 'not-here' ? '' : 'unseen'}">${title}</span></h3>${
    state === 'inside'
      ? html`<p>${titles(of)}</p>`
      : html`<ul>${together(of).map((group) => groupPart(group, mostOf(all.filter(isOpen).length), told))}</ul>`
  }</div>`
}

const titles = (of: readonly TestStanding[]) =>
  of.map(({ test }, i) => html`${i === 0 ? '' : '; '}<a href="#${test.id}">${test.title}</a>`)

const isOpen = ({ state }: TestStanding): boolean => state !== 'inside' && state !== 'not-here'

/** Told before it is cut: its beginning alone is no sentence that the catalogue knows. */
function groupPart(group: readonly TestStanding[], most: number, told: Told): Html {
  const { words = '', isTyped = false } = group[0] ?? {}
  return html`<li>${titles(group)}<span class="soft">: ${typed(shortened(isTyped ? words : told(words), most))}</span></li>`
}

/** Tests of which the same is said stand together. */
const together = (of: readonly TestStanding[]) => [...grouped(of, ({ words }) => words).values()]

function aboutPart(
  { head, entries, digest }: VerificationRecord,
  printedMs: number,
  time: TimeWords,
  { units }: ReportReader,
): Html {
  const revisions = [...new Set(entries.flatMap((entry) => (entry.kind === 'result' ? [entry.revision] : [])))]
  const versions = [...new Set(entries.flatMap((entry) => (entry.kind === 'result' ? [entry.software] : [])))]
  const also = (list: readonly string[], first: string) => list.filter((one) => one !== first)
  const revised = also(revisions, head.revision)
  const updated = also(versions, head.software)
  return html`<dl class="about"><dt>Begun</dt><dd>${time(head.begunMs)}, ${typed(head.begunBy)}</dd>
<dt>Zone</dt><dd><span translate="no">${head.zone}</span>; config revision ${head.revision}${revised.length === 0 ? '' : `, later results by ${revised.join(', ')}`}</dd>
<dt>Software</dt><dd>Evenpull ${head.software}${updated.length === 0 ? '' : `, later results by ${updated.join(', ')}`}</dd>
<dt>Record</dt><dd><span translate="no">${head.id}</span>, ${entries.length} ${entries.length === 1 ? 'entry' : 'entries'}</dd>
<dt>Printed</dt><dd>${time(printedMs)}</dd>
<dt>Units</dt><dd>${unitsWords(units)}</dd></dl>
<p class="soft">Digest <span class="digest" translate="no">${digest}</span></p>`
}
