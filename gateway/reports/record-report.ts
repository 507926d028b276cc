import { stringify } from 'yaml'
import type { RecordEntry, VerificationRecord } from '../../shared/schemas/verification.ts'
import type { RecordComparison } from '../../shared/schemas/verification-compare.ts'
import { timeWordsIn } from '../local-time.ts'
import { comparisonPart } from './comparison-part.ts'
import { entryPart, type Photos, type Reading } from './entry-part.ts'
import { type Html, html, Html as Raw } from './html.ts'
import { MARK_SYMBOLS } from './marks.ts'
import { type Paper, styleOf } from './style.ts'
import { summary } from './summary.ts'
import { stagePart } from './test-part.ts'

export interface ReportParts {
  readonly record: VerificationRecord
  readonly photos: Photos
  readonly comparison: RecordComparison | null
  readonly printedMs: number
  /** Of the line, IANA: every time is told by its clock. */
  readonly timeZone: string
  /** What the printer has where it is null. */
  readonly paper: Paper | null
}

const RULE =
  'One rule for all: with the value y and its expanded uncertainty U = k·u (about 95 %, JCGM 100), inside when y ± U lies wholly within the limit, outside when wholly beyond, otherwise undecided. Without good data it is unknown; a test that was not made is not done. A figure without a limit is for information and decides nothing.'

/** A record as one page that needs nothing else: no script, no outside resource, every text escaped. */
export function recordReport({ record, photos, comparison, printedMs, timeZone, paper }: ReportParts): string {
  const { head, entries, digest } = record
  const time = timeWordsIn(timeZone)
  const reading = { entries, photos, time }
  const page = html`<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width,initial-scale=1">
<title>${head.title}: verification of ${head.zoneName}</title><style>${new Raw(styleOf({ id: head.id, digest, paper }))}</style></head><body>
${MARK_SYMBOLS}<main>
${summary(record, comparison, { printedMs, time })}
${comparison === null ? null : comparisonPart(comparison, time)}
${head.plan.stages.map((stage) => stagePart(stage, reading))}
${generalPart(reading)}
<section><h2>How it was judged</h2><p>${RULE}</p>
<p>U is rounded to two digits and its value to the same place. An uncertainty that was assumed and not stated in the config is common practice without a source.</p></section>
<section><h2>Zone, channels and devices when the record was begun</h2><pre>${configText(head.config)}</pre></section>
<section><h2>Whether anything was changed since</h2><p>Every entry bears the SHA-256 of the one before it; the digest is that of the newest: <span class="digest">${digest}</span>. <code>evenpull report CONFIG ${head.id} --check</code> tells whether the record that is kept still has it.</p></section>
</main></body></html>`
  return page.text
}

/** What belongs to no test. */
function generalPart(reading: Reading): Html | null {
  const rest = reading.entries.filter(belongsToNoTest)
  if (rest.length === 0) return null
  return html`<section><h2>Notes, corrections, signature</h2>${rest.map((entry) => entryPart(entry, null, reading))}</section>`
}

const belongsToNoTest = (entry: RecordEntry): boolean => !('test' in entry) || entry.test === null

function configText(config: unknown): string {
  try {
    return stringify(config, { lineWidth: 0 })
  } catch {
    return JSON.stringify(config, null, 1)
  }
}
