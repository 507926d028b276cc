import type { PlanStage, PlanTest } from '../../shared/schemas/verification/plan.ts'
import type { RecordEntry } from '../../shared/schemas/verification.ts'
import { entryPart, type Reading } from './entry-part.ts'
import { type Html, html, typed } from './html.ts'
import { standingMark } from './marks.ts'
import { phasesTable } from './phases-table.ts'
import { standingOf } from './standing.ts'

/** A stage with its caution, and every test of it. */
export function stagePart(stage: PlanStage, reading: Reading): Html {
  const { entries } = reading
  const quiet = stage.tests.filter((test) => ownOf(test, entries).length === 0)
  const told = stage.tests.filter((test) => !quiet.includes(test))
  return html`<section class="stage"><h2>${stage.title}</h2><p class="caution"><span>${stage.machine}</span> <span>${stage.caution}</span></p>
${told.map((test) => testPart(test, reading))}
${quiet.length === 0 ? null : quietPart(quiet, entries)}</section>`
}

const ownOf = ({ id }: PlanTest, entries: readonly RecordEntry[]): readonly RecordEntry[] =>
  entries.filter((entry) => 'test' in entry && entry.test === id)

function testPart(test: PlanTest, reading: Reading): Html {
  const { entries } = reading
  const own = ownOf(test, entries)
  return html`<article class="test" id="${test.id}"><h3>${test.title} ${standingMark(standingOf(test, entries).state)}</h3>
<p class="soft"><span>${test.proves}</span> <span>${test.effect}</span></p>
${test.caution === null ? null : html`<p class="caution">${test.caution}</p>`}
${phasesTable(own)}
${byPhase(own).map((entry) => entryPart(entry, test, reading))}</article>`
}

/** As found before as left, each in the order in which it was made. */
function byPhase(own: readonly RecordEntry[]): readonly RecordEntry[] {
  const rank = (entry: RecordEntry) => (entry.kind === 'result' && entry.phase === 'as-found' ? 0 : 1)
  return own.toSorted((a, b) => rank(a) - rank(b) || a.seq - b.seq)
}

/** Tests of which nothing was kept, a line each. */
function quietPart(tests: readonly PlanTest[], entries: readonly RecordEntry[]): Html {
  return html`<ul class="quiet">${tests.map((test) => {
    const { state, words, isTyped } = standingOf(test, entries)
    return html`<li id="${test.id}"><b>${test.title}</b> ${standingMark(state)} <span class="soft">${isTyped ? typed(words) : words}</span></li>`
  })}</ul>`
}
