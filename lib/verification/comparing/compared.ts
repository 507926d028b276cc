import type { RecordFigure } from '../../../shared/schemas/verification/result.ts'
import type { ComparedFigure, ComparedFigures, ComparedValue } from '../../../shared/schemas/verification-compare.ts'
import { SIDE_WORDS } from '../../geometry/sided.ts'
import { differenceUnit } from '../../statistics/difference-unit.ts'
import { plusMinus, withUnit } from '../../statistics/plus-minus.ts'
import { shortNumber } from '../../statistics/words.ts'
import { differenceOf } from './difference.ts'
import type { Match } from './match.ts'
import type { Told } from './told.ts'

export interface Compared {
  readonly kind: keyof ComparedFigures
  readonly figure: ComparedFigure
}

/** One figure of both records: changed beyond its uncertainty, not told apart, or not comparable with the reason. */
export function compared([before, after]: Match): Compared {
  if (before === undefined) return apartFrom(undefined, after, 'was not measured in the earlier record')
  if (after === undefined) return apartFrom(before, undefined, 'was not measured in the later record')
  const reason = notComparable(before.figure, after.figure)
  if (reason !== null) return apartFrom(before, after, reason)
  return after.figure.answer === null ? numbers(before, after) : answers(before, after)
}

function notComparable(a: RecordFigure, b: RecordFigure): string | null {
  if (a.answer !== null && b.answer !== null) return null
  if (a.answer !== null || b.answer !== null) return 'was answered once and measured once'
  if (a.unit !== b.unit) return `is told in ${unitWords(a.unit)} before and in ${unitWords(b.unit)} after`
  if (a.value === null || b.value === null) return `was unknown in the ${a.value === null ? 'earlier' : 'later'} record`
  if (a.U === null || b.U === null) return `bears no uncertainty in the ${a.U === null ? 'earlier' : 'later'} record`
  return isBare(a, b) && a.value !== b.value && !isJudgedOtherwise(a, b)
    ? `${withUnit(shortNumber(a.value), a.unit)} before, ${withUnit(shortNumber(b.value), b.unit)} after, without an uncertainty to tell a change by`
    : null
}

/** A count, or something that nothing is known about beside its value. */
const isBare = (a: RecordFigure, b: RecordFigure): boolean => a.U === 0 && b.U === 0

/** Once inside and once outside: that is a change whatever the number is known by. */
const isJudgedOtherwise = (a: RecordFigure, b: RecordFigure): boolean => {
  const states = [a.verdict.state, b.verdict.state]
  return states.includes('inside') && states.includes('outside')
}

const unitWords = (unit: string): string => (unit === '' ? 'a bare number' : unit)

function apartFrom(before: Told | undefined, after: Told | undefined, reason: string): Compared {
  return {
    kind: 'notComparable',
    figure: {
      ...base(before, after),
      difference: null,
      ofLimit: null,
      reason,
      sentence: `${subject(before, after)}: ${reason}.`,
    },
  }
}

function answers(before: Told, after: Told): Compared {
  const isSame = before.figure.answer === after.figure.answer
  const words = isSame ? `${after.figure.answer}, as before` : `was ${before.figure.answer}, is ${after.figure.answer}`
  return {
    kind: isSame ? 'unchanged' : 'changed',
    figure: {
      ...base(before, after),
      difference: null,
      ofLimit: null,
      reason: null,
      sentence: `${subject(before, after)}: ${words}${verdictWords(before, after)}.`,
    },
  }
}

function numbers(before: Told, after: Told): Compared {
  const difference = differenceOf(before, after)
  const isChanged = Math.abs(difference.value) > difference.U
  const { unit } = after.figure
  const told = ({ figure }: Told) => withUnit(plusMinus(figure.value ?? Number.NaN, figure.U), unit)
  const by = withUnit(plusMinus(difference.value, difference.U), differenceUnit(unit))
  const ofLimit = shareOfLimit(difference.value, after.figure)
  const share = ofLimit === null ? '' : `, ${shortNumber(100 * ofLimit)} % of what its limit allows`
  const words = isChanged ? `changed by ${by}${share}` : `the difference, ${by}, is within its uncertainty`
  const sentence = `${subject(before, after)}: ${told(before)} before, ${told(after)} after; ${words}${verdictWords(before, after)}.`
  return {
    kind: isChanged ? 'changed' : 'unchanged',
    figure: { ...base(before, after), difference, ofLimit, reason: null, sentence },
  }
}

/** Whether a change matters is another question than whether there is one. */
function shareOfLimit(difference: number, { limit }: RecordFigure): number | null {
  if (limit === null) return null
  const { low, high } = limit
  const allows = low !== null && high !== null ? (high - low) / 2 : Math.abs(high ?? low ?? 0)
  return allows > 0 ? Math.abs(difference) / allows : null
}

/** Said only where it reads otherwise, and only of what has a limit. */
function verdictWords({ figure: a }: Told, { figure: b }: Told): string {
  if (a.limit === null || b.limit === null || a.verdict.state === b.verdict.state) return ''
  const words = (state: string) => state.replace('-', ' ')
  return `; was ${words(a.verdict.state)}, is ${words(b.verdict.state)}`
}

/** Judged otherwise first, then the largest against their limits, then what has none. */
export function worstFirst(a: ComparedFigure, b: ComparedFigure): number {
  const rank = ({ before, after, ofLimit }: ComparedFigure) => [before?.state === after?.state ? 1 : 0, -(ofLimit ?? 0)]
  const [first, second] = [rank(a), rank(b)]
  return (first[0] ?? 0) - (second[0] ?? 0) || (first[1] ?? 0) - (second[1] ?? 0)
}

/** "Two speeds, two tensions: Noise, drive side, at 119 m/min, 250 N before and 121 m/min, 251 N after". */
function subject(before: Told | undefined, after: Told | undefined): string {
  const { entry, figure } = toldOf(before, after)
  const side = figure.side === null || figure.side === 'single' ? '' : SIDE_WORDS[figure.side]
  return `${entry.title}: ${[figure.title, side, pointWords(before?.figure, after?.figure)].filter((part) => part !== '').join(', ')}`
}

function pointWords(before: RecordFigure | undefined, after: RecordFigure | undefined): string {
  const [a, b] = [before?.point ?? null, after?.point ?? null]
  if (a === null || b === null || a === b)
    return [a ?? b].map((point) => (point === null ? '' : `at ${point}`)).join('')
  return `at ${a} before and ${b} after`
}

function toldOf(before: Told | undefined, after: Told | undefined): Told {
  const told = after ?? before
  if (told === undefined) throw new RangeError('nothing to compare')
  return told
}

function base(before: Told | undefined, after: Told | undefined) {
  const { entry, figure } = toldOf(before, after)
  return {
    test: entry.test,
    testTitle: entry.title,
    figure: figure.id,
    title: figure.title,
    side: figure.side,
    unit: figure.unit,
    before: valueIn(before),
    after: valueIn(after),
  }
}

function valueIn(told: Told | undefined): ComparedValue | null {
  if (told === undefined) return null
  const { value, U, answer, verdict, point } = told.figure
  const { phase, seq, timeMs } = told.entry
  return { value, U, answer, state: verdict.state, point, phase, seq, timeMs }
}
