import { unitsWords } from '../../lib/summary/units-words.ts'
import { isTyped } from '../../shared/schemas/events.ts'
import type { DriftQuantity } from '../../shared/schemas/shift.ts'
import type { ShiftSummary, SummaryMean } from '../../shared/schemas/shift-summary.ts'
import { SI_CHOICE } from '../../shared/unit-choice.ts'
import type { TimeWords } from '../local-time.ts'
import { rounded, SIDES, toldInUnits, valueWords, verdictWords, withU } from './figure-words.ts'
import { columns } from './table.ts'

/** A shift's facts as text, in the units that were asked for; what people typed stays as it is. */
export function summaryInWords(summary: ShiftSummary, time: TimeWords, units = SI_CHOICE): string[] {
  const told = toldInUnits(units)
  const each = (row: readonly string[]) => row.map(told)
  const { plant, line, zone, sides, means, drifts, steps, recording, sentence } = summary
  return [
    [plant, line, zone.name].filter((name) => name !== null).join(' · '),
    `${time(summary.fromMs)} to ${time(summary.toMs)}, put together ${time(summary.madeMs)}`,
    unitsWords(units),
    ...section(
      'config',
      summary.revisions.map(({ revision, timeMs }) => [revision, `in force from ${time(timeMs)}`]),
    ),
    ...section(
      'minutes',
      Object.entries(summary.steadiness.minutes).map(([state, count]) => [state, `${count} min`]),
    ),
    ...section('while steady, along the arrow', sides.map(sideRow).map(each)),
    ...section(
      'means of the steady minutes',
      means.map((mean) => [mean.what.replaceAll('_', ' '), told(meanWords(mean))]),
    ),
    ...section(
      'what has moved',
      drifts.map(({ quantity, rate }) => [quantityWords(quantity), told(valueWords(rate)), told(verdictWords(rate))]),
    ),
    ...section(
      'steps',
      steps.map(({ sentence: words }) => [told(words)]),
    ),
    ...section('alarms that were active when it began', summary.standing.map(eventRow(time, told))),
    ...section('alarms', summary.alarms.map(eventRow(time, told))),
    ...section('notes', summary.notes.map(eventRow(time, told))),
    ...section('what else happened', summary.happened.map(eventRow(time, told))),
    ...section(
      `gaps, to the nearest ${rounded(recording.rowMs / 1000, recording.rowMs / 1000)} s`,
      recording.gaps.map(({ fromMs, toMs, sides: lost }) => [
        `${time(fromMs)} to ${time(toMs)}`,
        lost.map((side) => SIDES[side]).join(', '),
      ]),
    ),
    '',
    ...(recording.sentence === null ? [] : [recording.sentence]),
    sentence,
  ]
}

function section(title: string, rows: readonly (readonly string[])[]): string[] {
  return [
    '',
    title,
    ...(rows.length === 0 ? ['  none'] : columns(rows.map(([first, ...rest]) => [`  ${first}`, ...rest]))),
  ]
}

function sideRow({ side, mean, lo, hi, samples }: ShiftSummary['sides'][number]): string[] {
  const spread = Math.max((hi - lo) / 10, Number.MIN_VALUE)
  return [
    SIDES[side],
    `mean ${rounded(mean, spread)} N`,
    `${rounded(lo, spread)} to ${rounded(hi, spread)} N`,
    `${samples} samples`,
  ]
}

const meanWords = ({ value, U, unit, minutes }: SummaryMean): string => `${withU(value, U, unit)}, ${minutes} min`

const quantityWords = (quantity: DriftQuantity): string => `drift of ${quantity.replaceAll('_', ' ')}`

/** A note is what anybody typed: on one line, and without what a terminal would take for a command. */
const eventRow =
  (time: TimeWords, told: (text: string) => string) =>
  ({ timeMs, text, who, kind }: ShiftSummary['notes'][number]): string[] => [
    time(timeMs),
    (isTyped(kind) ? text : told(text)).replaceAll(/[\s\p{Cc}\p{Cf}]+/gu, ' '),
    who ?? '',
  ]
