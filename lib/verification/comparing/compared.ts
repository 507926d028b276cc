import type { RecordFigure } from '../../../shared/schemas/verification.ts'
import type { ComparedFigure, ComparedFigures, ComparedValue } from '../../../shared/schemas/verification-compare.ts'
import { SIDE_WORDS } from '../../geometry/sided.ts'
import { plusMinus, withUnit } from '../plus-minus.ts'
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
  return null
}

const unitWords = (unit: string): string => (unit === '' ? 'a bare number' : unit)

function apartFrom(before: Told | undefined, after: Told | undefined, reason: string): Compared {
  return {
    kind: 'notComparable',
    figure: { ...base(before, after), difference: null, reason, sentence: `${subject(before, after)}: ${reason}.` },
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
  const by = withUnit(plusMinus(difference.value, difference.U), unit)
  const words = isChanged ? `changed by ${by}` : `the difference, ${by}, is within its uncertainty`
  const sentence = `${subject(before, after)}: ${told(before)} before, ${told(after)} after; ${words}${verdictWords(before, after)}.`
  return {
    kind: isChanged ? 'changed' : 'unchanged',
    figure: { ...base(before, after), difference, reason: null, sentence },
  }
}

/** Said only where it reads otherwise, and only of what has a limit. */
function verdictWords({ figure: a }: Told, { figure: b }: Told): string {
  if (a.limit === null || b.limit === null || a.verdict.state === b.verdict.state) return ''
  const words = (state: string) => state.replace('-', ' ')
  return `; was ${words(a.verdict.state)}, is ${words(b.verdict.state)}`
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
