import { plusMinus, withUnit } from '../../lib/statistics/plus-minus.ts'
import { shortNumber } from '../../lib/statistics/words.ts'
import type { RecordFigure } from '../../shared/schemas/verification/result.ts'
import { figureRuler } from './figure-ruler.ts'
import { eachAlone, type Html, html } from './html.ts'
import { standingMark } from './marks.ts'
import { figureWords, valueWords } from './words.ts'

/** The figures of a result: number ± U, limit with its source, verdict; under them how each was got. */
export function figuresTable(figures: readonly RecordFigure[]): Html | null {
  if (figures.length === 0) return null
  return html`<table class="figures"><thead><tr><th scope="col">Figure</th><th scope="col">Value ± U</th><th scope="col">Limit, and where it is from</th><th scope="col">Verdict</th></tr></thead>
<tbody>${figures.map(rowOf)}</tbody></table>${howPart(figures)}`
}

function rowOf(figure: RecordFigure): Html {
  const { k, dof, limit, why, answer, value } = figure
  const covers =
    answer !== null || value === null || k === null
      ? ''
      : `k = ${k.toFixed(2)}${dof === null ? '' : `, ν = ${shortNumber(dof)}`}`
  return html`<tr><th scope="row">${figureWords(figure)}${why.inputs.length === 0 ? null : html`<span class="under">${eachAlone(why.inputs.map(inputWords), '; ')}</span>`}</th>
<td data-of="Value ± U"><span class="number">${valueWords(figure)}</span><span class="under">${covers}</span></td>
<td data-of="Limit">${limit === null ? 'for information' : html`${limit.text}<span class="under">${limit.source}</span>`}</td>
<td data-of="Verdict">${limit === null ? 'none' : html`${standingMark(figure.verdict.state)}${figureRuler(figure)}<span class="under">${open(figure)}</span>`}</td></tr>`
}

/** What would settle it, or why it is not known. */
const open = ({ verdict }: RecordFigure): string =>
  verdict.state === 'inside' || verdict.state === 'outside' ? '' : verdict.sentence

type Input = RecordFigure['why']['inputs'][number]
const inputWords = ({ name, value, unit, u }: Input): string =>
  `${name} ${value === null ? 'not known' : withUnit(plusMinus(value, u === null ? null : 2 * u), unit)}`

/** Each formula once: several figures of a test often share it. */
function howPart(figures: readonly RecordFigure[]): Html | null {
  const numbers = figures.filter(({ answer }) => answer === null)
  if (numbers.length === 0) return null
  const all = numbers.map(({ title, why }) => ({ title, how: [why.formula, why.source].filter((part) => part !== '') }))
  const each = new Map(all.map((one) => [`${one.title}\n${one.how.join('\n')}`, one]))
  return html`<div class="how"><p>How it was got (inputs ± twice their standard uncertainty):</p><ul>${[...each.values()].map(({ title, how }) => html`<li><span>${title}</span>: ${eachAlone(how, '; ')}</li>`)}</ul></div>`
}
