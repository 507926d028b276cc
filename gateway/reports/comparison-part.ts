import { plusMinus } from '../../lib/statistics/plus-minus.ts'
import { readersNumbers } from '../../lib/texts/reader-numbers.ts'
import type { ComparedFigure, ComparedFigures, RecordComparison } from '../../shared/schemas/verification-compare.ts'
import type { UnitChoice } from '../../shared/unit-choice.ts'
import type { TimeWords } from '../local-time.ts'
import type { Reading } from './entry-part.ts'
import { grouped } from './grouped.ts'
import { eachAlone, type Html, html } from './html.ts'
import { comparedTable, differenceWords, nameOf } from './phases-table.ts'
import { valueWords } from './words.ts'

/** What changed since an earlier record: as found on return first, then as both were left. */
export function comparisonPart(comparison: RecordComparison, { time, units }: Pick<Reading, 'time' | 'units'>): Html {
  const { earlier, onReturn, notes } = comparison
  return html`<section class="sheet" id="comparison"><h2>Against an earlier record</h2>
<p><q translate="no">${earlier.title}</q>, begun ${time(earlier.begunMs)}, ${earlier.signed ? 'signed' : 'not signed'}; record <span translate="no">${earlier.id}</span>.</p>
<ul class="soft">${notes.map((note) => html`<li>${note}</li>`)}</ul>
${onReturn === null ? null : listsPart('As left then, as found on this visit', onReturn, ['As left then', 'As found now'], units)}
${listsPart('Newest result then, newest result now', comparison, ['Then', 'Now'], units)}</section>`
}

/** For the first page: "Against “A year ago”, begun …: 2 changed, 40 not told apart, 3 not comparable." */
export function comparisonLine({ earlier, onReturn, ...now }: RecordComparison, time: TimeWords): Html {
  const found = onReturn === null ? null : html` <span>On return, as found: ${counts(onReturn)}.</span>`
  return html`<p><a href="#comparison">Against <q translate="no">${earlier.title}</q></a>, begun ${time(earlier.begunMs)}: <span>${counts(now)}</span>.${found}</p>`
}

const counts = ({ changed, unchanged, notComparable }: ComparedFigures): string =>
  `${changed.length} changed, ${unchanged.length} not told apart, ${notComparable.length} not comparable`

type Columns = readonly [before: string, after: string]

function listsPart(title: string, lists: ComparedFigures, columns: Columns, units: UnitChoice): Html {
  const { changed, unchanged, notComparable } = lists
  return html`<h3>${title}</h3><p>${counts(lists)}.</p>
${[...byTest(changed)].map(([test, figures]) => html`<h4>Changed: ${test}</h4>${comparedTable(figures, [], columns)}`)}
${unchanged.length === 0 ? null : html`<h4>Not told apart</h4>${compactTable(unchanged, columns, units)}`}
${notComparable.length === 0 ? null : html`<h4>Not comparable</h4><ul class="soft">${notComparableLines(notComparable)}</ul>`}`
}

const byTest = (figures: readonly ComparedFigure[]) => grouped(figures, ({ testTitle }) => testTitle)

/** A line a figure, tests in groups: there are many, and none of them calls for anything. */
function compactTable(figures: readonly ComparedFigure[], [before, after]: Columns, units: UnitChoice): Html {
  const row = (
    figure: ComparedFigure,
  ) => html`<tr><th scope="row">${nameOf(figure)}</th><td data-of="${before}">${told(figure, 'before', units)}</td>
<td data-of="${after}">${told(figure, 'after', units)}</td><td data-of="Difference ± U">${differenceWords(figure)}</td></tr>`
  return html`<table class="compact"><thead><tr><th scope="col">Figure</th><th scope="col">${before}</th><th scope="col">${after}</th><th scope="col">Difference ± U</th></tr></thead>
${[...byTest(figures)].map(([test, of]) => html`<tbody><tr><th scope="rowgroup" colspan="4" class="group">${test}</th></tr>${of.map(row)}</tbody>`)}</table>`
}

/** Without the unit, which the difference bears; so a number is put into the reader's here already. */
function told(figure: ComparedFigure, which: 'before' | 'after', units: UnitChoice): string {
  const value = figure[which]
  if (value === null) return '–'
  if (value.value === null) return valueWords({ ...value, unit: '' })
  return readersNumbers(plusMinus(value.value, value.U), figure.unit, units)
}

/** One line a test and reason. */
function notComparableLines(figures: readonly ComparedFigure[]): readonly Html[] {
  const groups = grouped(figures, ({ testTitle, reason }) => `${testTitle}\n${reason}`)
  return [...groups.values()].map((group) => {
    const [first] = group
    return html`<li><span>${first?.testTitle}</span>: ${eachAlone([...new Set(group.map(({ title }) => title))], ', ')} ${first?.reason}.</li>`
  })
}
