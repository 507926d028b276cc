import { differenceUnit } from '../../lib/statistics/difference-unit.ts'
import { plusMinus, withUnit } from '../../lib/statistics/plus-minus.ts'
import { shortNumber } from '../../lib/statistics/words.ts'
import { compareResults } from '../../lib/verification/compare.ts'
import type { RecordEntry } from '../../shared/schemas/verification.ts'
import type { ComparedFigure } from '../../shared/schemas/verification-compare.ts'
import { type Html, html } from './html.ts'
import { standingMark } from './marks.ts'
import { figureWords, valueWords } from './words.ts'

/** The newest result as found beside the newest as left; null where a test has not both. */
export function phasesTable(own: readonly RecordEntry[]): Html | null {
  const newest = (phase: string) => own.findLast((entry) => entry.kind === 'result' && entry.phase === phase)
  const [found, left] = [newest('as-found'), newest('as-left')]
  if (found?.kind !== 'result' || left?.kind !== 'result') return null
  const told = compareResults([found], [left])
  if (told.changed.length + told.unchanged.length === 0) return null
  return comparedTable(told.changed, told.unchanged, ['As found', 'As left'])
}

/** Compared figures in rows: both values with their verdicts, and the difference. */
export function comparedTable(
  changed: readonly ComparedFigure[],
  unchanged: readonly ComparedFigure[],
  [before, after]: readonly [string, string],
): Html {
  const row = (figure: ComparedFigure, says: string) => html`<tr><th scope="row">${nameOf(figure)}</th>
<td data-of="${before}">${sideOf(figure, 'before')}</td><td data-of="${after}">${sideOf(figure, 'after')}</td>
<td data-of="Difference ± U"><span class="number">${differenceWords(figure)}</span><span class="under">${says}</span></td></tr>`
  return html`<table class="compared"><thead><tr><th scope="col">Figure</th><th scope="col">${before}</th><th scope="col">${after}</th><th scope="col">Difference ± U</th></tr></thead>
<tbody>${changed.map((figure) => row(figure, `changed${shareWords(figure)}`))}${unchanged.map((figure) => row(figure, 'not told apart'))}</tbody></table>`
}

const shareWords = ({ ofLimit }: ComparedFigure): string =>
  ofLimit === null ? '' : `, ${shortNumber(100 * ofLimit)} % of what its limit allows`

/** The point as the later one has it. */
export const nameOf = ({ title, side, before, after }: ComparedFigure): string =>
  figureWords({ title, side, point: after?.point ?? before?.point ?? null })

function sideOf(figure: ComparedFigure, which: 'before' | 'after'): Html {
  const told = figure[which]
  if (told === null) return html`–`
  const point = figure.before?.point === figure.after?.point ? '' : (told.point ?? '')
  const mark = told.state === 'not-done' ? null : standingMark(told.state)
  return html`<span class="number">${valueWords({ ...told, unit: figure.unit })}</span>${mark}<span class="under">${point === '' ? '' : `at ${point}`}</span>`
}

export const differenceWords = ({ difference, unit, before, after }: ComparedFigure): string => {
  if (difference === null) return before?.answer === after?.answer ? 'none' : 'answered otherwise'
  return withUnit(plusMinus(difference.value, difference.U), differenceUnit(unit))
}
