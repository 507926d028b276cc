import type { PlanTest } from '../../shared/schemas/verification/plan.ts'
import type { RecordEntry } from '../../shared/schemas/verification.ts'
import type { UnitChoice } from '../../shared/unit-choice.ts'
import type { TimeWords } from '../local-time.ts'
import { capturesPart } from './capture-plot.ts'
import { figuresTable } from './figures-table.ts'
import { type Html, html, joined, typed } from './html.ts'
import { standingMark } from './marks.ts'
import { weightsPlot } from './weights-plot.ts'
import { phaseWords, typedWords } from './words.ts'

/** By SHA-256. */
export type Photos = ReadonlyMap<string, Buffer>

type Entry<Kind extends RecordEntry['kind']> = Extract<RecordEntry, { kind: Kind }>

/** What every entry is read with. */
export interface Reading {
  /** Every entry of the record. */
  readonly entries: readonly RecordEntry[]
  readonly photos: Photos
  readonly time: TimeWords
  /** Units of the reader. */
  readonly units: UnitChoice
}

/** An entry as it was made, with every correction of it. `test` is null for what belongs to none. */
export function entryPart(entry: RecordEntry, test: PlanTest | null, reading: Reading): Html {
  return html`<div class="entry" id="entry-${entry.seq}">${bodyOf(entry, test, reading)}${reading.entries.map((one) =>
    one.kind === 'correction' && one.of === entry.seq
      ? html`<p class="correction">Corrected in entry ${one.seq}, ${reading.time(one.timeMs)}, ${typed(one.who)}: <span translate="no">${one.text}</span></p>`
      : null,
  )}</div>`
}

const madePart = (entry: RecordEntry, reading: Reading): Html =>
  html`<span class="made">Entry ${entry.seq}, ${reading.time(entry.timeMs)}, ${typed(entry.who)}</span>`

function bodyOf(entry: RecordEntry, test: PlanTest | null, reading: Reading): Html {
  const made = madePart(entry, reading)
  switch (entry.kind) {
    case 'result':
      return resultPart(entry, test, reading)
    case 'not-done':
      return html`<p>Not done: <span translate="no">${entry.reason}</span> ${made}</p>`
    case 'note':
      return html`<p>Note: <span translate="no">${entry.text}</span> ${made}</p>`
    case 'photo':
      return photoPart(entry, reading)
    case 'signature':
      return html`<p>Signed by <span translate="no">${entry.name}</span>. ${made}</p>`
    case 'correction':
      return html`<p>Correction of <a href="#entry-${entry.of}">entry ${entry.of}</a>: <span translate="no">${entry.text}</span> ${made}</p>`
  }
}

function resultPart(entry: Entry<'result'>, test: PlanTest | null, reading: Reading): Html {
  const { result, captures, phase, attempt, revision, software } = entry
  const phaseTitle = phaseWords(phase)
  return html`<h4><span>${phaseTitle.charAt(0).toUpperCase()}${phaseTitle.slice(1)}, attempt ${attempt}</span> ${standingMark(result.state)}</h4>
<p>${result.sentence}</p>
${result.hints.length === 0 ? null : html`<ul class="hints">${result.hints.map((hint) => html`<li>${hint}</li>`)}</ul>`}
${figuresTable(result.figures)}
${typedPart(entry, test)}
${test?.id === 'known-weight.series' ? weightsPlot(captures, reading.units) : null}
${test === null ? null : capturesPart(captures, test, reading)}
<p class="made">Entry ${entry.seq}, ${reading.time(entry.timeMs)}, ${typed(entry.who)}; config ${revision}, Evenpull ${software}</p>`
}

function typedPart({ values: given }: Entry<'result'>, test: PlanTest | null): Html | null {
  const values = typedWords(given, test?.fields ?? [])
  return values.length === 0 ? null : html`<p class="typed">Entered: ${joined(values, '; ')}.</p>`
}

/** What a browser draws and cannot be more than a picture. */
const DRAWN: ReadonlySet<string> = new Set(['image/jpeg', 'image/png', 'image/webp'])

function photoPart(entry: Entry<'photo'>, reading: Reading): Html {
  const { photos } = reading
  const { caption, mediaType, sha256 } = entry
  const bytes = photos.get(sha256)
  if (bytes === undefined || !DRAWN.has(mediaType))
    return html`<p>A photo that is not there any more, or is not the one that was kept${caption === '' ? '' : html`: ${typed(caption)}`}. <span class="digest" translate="no">${sha256}</span> ${madePart(entry, reading)}</p>`
  const source = `data:${mediaType};base64,${bytes.toString('base64')}`
  const picture =
    caption === ''
      ? html`<img alt="photo without a caption" src="${source}">`
      : html`<img translate="no" alt="${caption}" src="${source}">`
  return html`<figure class="photo">${picture}<figcaption>${typed(caption)} ${madePart(entry, reading)}</figcaption></figure>`
}
