import { stringify } from 'yaml'
import type { RecordEntry, VerificationRecord } from '../../shared/schemas/verification.ts'
import type { RecordComparison } from '../../shared/schemas/verification-compare.ts'
import { timeWordsIn } from '../local-time.ts'
import { comparisonPart } from './comparison-part.ts'
import { entryPart, type Photos, type Reading } from './entry-part.ts'
import { type Html, html, Html as Raw } from './html.ts'
import { MARK_SYMBOLS } from './marks.ts'
import { namesIn, PLAIN_CHOICE, type ReadersChoice, type ReportReader, reportReader } from './report-reader.ts'
import { bare, type Paper, styleOf } from './style.ts'
import { summary } from './summary.ts'
import { stagePart } from './test-part.ts'
import { toldMarkup } from './told-markup.ts'

export interface ReportParts {
  readonly record: VerificationRecord
  readonly photos: Photos
  readonly comparison: RecordComparison | null
  readonly printedMs: number
  /** Of the line, IANA: every time is told by its clock. */
  readonly timeZone: string
  /** What the printer has where it is null. */
  readonly paper: Paper | null
  /** Language, decimal sign and units; English with a point in SI where they are left out. */
  readonly choice?: ReadersChoice
}

/** A report, and the texts in it that the catalogue of its language does not cover. */
export interface ToldReport {
  readonly page: string
  readonly untold: readonly string[]
}

const RULE =
  'One rule for all: with the value y and its expanded uncertainty U = k·u (about 95 %, JCGM 100), inside when y ± U lies wholly within the limit, outside when wholly beyond, otherwise undecided. Without good data it is unknown; a test that was not made is not done. A figure without a limit is for information and decides nothing.'

/** A record as one page that needs nothing else: no script, no outside resource, every text escaped. */
export const recordReport = (parts: ReportParts): string => toldReport(parts).page

/** The page with what could not be told. Only how it is told follows the reader: record, figures and digest are the same. */
export function toldReport({ paper, choice = PLAIN_CHOICE, ...parts }: ReportParts): ToldReport {
  const { head, digest } = parts.record
  const reader = reportReader(choice, namesIn(parts.record, parts.comparison))
  const { told, language, untold } = reader
  const body = toldMarkup(bodyOf(parts, reader), told)
  const style = styleOf({ foot: told(footOf(head.id, digest)), pageWords: pageWords(told), paper })
  const headPart = toldMarkup(html`<title>${head.title}: verification of ${head.zoneName}</title>`, told)
  const left = untold.size === 0 ? null : toldMarkup(html`<p class="soft">${LEFT_AS_RECORDED}</p>`, told)
  const page = html`<!doctype html>
<html lang="${language}"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width,initial-scale=1">
${headPart}<style>${new Raw(style)}</style></head><body>
${MARK_SYMBOLS}<main>
${body}${left}
</main></body></html>`
  return { page: page.text, untold: [...untold] }
}

const LEFT_AS_RECORDED = 'What stands in English is kept as it was recorded: this program has no other words for it.'

const footOf = (id: string, digest: string): string =>
  `Evenpull verification ${bare(id)}, digest ${bare(digest).slice(0, 16)}`

/** Before the number of a page, and between it and how many there are: both are counted by the printer. */
function pageWords(told: ReportReader['told']): readonly [before: string, between: string] {
  const words = told('page 1 of 2')
  const [, before = '', between = ' / '] = /^(.*)1(.*)2$/.exec(words) ?? []
  return [before, between]
}

function bodyOf(
  { record, photos, comparison, printedMs, timeZone }: Omit<ReportParts, 'paper' | 'choice'>,
  reader: ReportReader,
): Html {
  const { head, entries, digest } = record
  const time = timeWordsIn(timeZone, reader.language)
  const reading = { entries, photos, time, units: reader.units }
  return html`${summary(record, comparison, { printedMs, time, reader })}
${comparison === null ? null : comparisonPart(comparison, reading)}
${head.plan.stages.map((stage) => stagePart(stage, reading))}
${generalPart(reading)}
<section><h2>How it was judged</h2><p>${RULE}</p>
<p>U is rounded to two digits and its value to the same place. An uncertainty that was assumed and not stated in the config is common practice without a source.</p></section>
<section><h2>Zone, channels and devices when the record was begun</h2><p class="soft">As the config file has it, in the units that stand there.</p><pre>${configText(head.config)}</pre></section>
<section><h2>Whether anything was changed since</h2><p>Every entry bears the SHA-256 of the one before it; the digest is that of the newest: <span class="digest" translate="no">${digest}</span>. <code>evenpull report CONFIG ${head.id} --check</code> tells whether the record that is kept still has it.</p></section>`
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
