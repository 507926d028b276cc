import type { PlanTest } from '../../shared/schemas/verification/plan.ts'
import type { RecordEntry } from '../../shared/schemas/verification.ts'
import type { TimeWords } from '../local-time.ts'
import { capturesPart } from './capture-plot.ts'
import { figuresTable } from './figures-table.ts'
import { type Html, html } from './html.ts'
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
}

/** An entry as it was made, with every correction of it. `test` is null for what belongs to none. */
export function entryPart(entry: RecordEntry, test: PlanTest | null, reading: Reading): Html {
  return html`<div class="entry" id="entry-${entry.seq}">${bodyOf(entry, test, reading)}${reading.entries.map((one) =>
    one.kind === 'correction' && one.of === entry.seq
      ? html`<p class="correction">Corrected in entry ${one.seq}, ${madeWords(one, reading)}: ${one.text}</p>`
      : null,
  )}</div>`
}

const madeWords = ({ timeMs, who }: RecordEntry, { time }: Reading): string => `${time(timeMs)}, ${who}`
const madePart = (entry: RecordEntry, reading: Reading): Html =>
  html`<span class="made">Entry ${entry.seq}, ${madeWords(entry, reading)}</span>`

function bodyOf(entry: RecordEntry, test: PlanTest | null, reading: Reading): Html {
  const made = madePart(entry, reading)
  switch (entry.kind) {
    case 'result':
      return resultPart(entry, test, reading)
    case 'not-done':
      return html`<p>Not done: ${entry.reason} ${made}</p>`
    case 'note':
      return html`<p>Note: ${entry.text} ${made}</p>`
    case 'photo':
      return photoPart(entry, reading)
    case 'signature':
      return html`<p>Signed by ${entry.name}. ${made}</p>`
    case 'correction':
      return html`<p>Correction of <a href="#entry-${entry.of}">entry ${entry.of}</a>: ${entry.text} ${made}</p>`
  }
}

function resultPart(entry: Entry<'result'>, test: PlanTest | null, reading: Reading): Html {
  const { result, captures, phase, attempt, revision, software } = entry
  const phaseTitle = phaseWords(phase)
  return html`<h4>${phaseTitle.charAt(0).toUpperCase()}${phaseTitle.slice(1)}, attempt ${attempt} ${standingMark(result.state)}</h4>
<p>${result.sentence}</p>
${result.hints.length === 0 ? null : html`<ul class="hints">${result.hints.map((hint) => html`<li>${hint}</li>`)}</ul>`}
${figuresTable(result.figures)}
${typedPart(entry, test)}
${test?.id === 'known-weight.series' ? weightsPlot(captures) : null}
${test === null ? null : capturesPart(captures, test, reading.time)}
<p class="made">Entry ${entry.seq}, ${madeWords(entry, reading)}; config ${revision}, Evenpull ${software}</p>`
}

function typedPart({ values }: Entry<'result'>, test: PlanTest | null): Html | null {
  const typed = typedWords(values, test?.fields ?? [])
  return typed.length === 0 ? null : html`<p class="typed">Entered: ${typed.join('; ')}.</p>`
}

/** What a browser draws and cannot be more than a picture. */
const DRAWN: ReadonlySet<string> = new Set(['image/jpeg', 'image/png', 'image/webp'])

function photoPart(entry: Entry<'photo'>, reading: Reading): Html {
  const { photos } = reading
  const { caption, mediaType, sha256 } = entry
  const bytes = photos.get(sha256)
  if (bytes === undefined || !DRAWN.has(mediaType))
    return html`<p>A photo that is not there any more, or is not the one that was kept${caption === '' ? '' : `: ${caption}`}. <span class="digest">${sha256}</span> ${madePart(entry, reading)}</p>`
  return html`<figure class="photo"><img alt="${caption === '' ? 'photo without a caption' : caption}" src="data:${mediaType};base64,${bytes.toString('base64')}"><figcaption>${caption} ${madePart(entry, reading)}</figcaption></figure>`
}
