import type { VerdictState } from '../../shared/schemas/now.ts'
import type { RecordFigure, TestResult } from '../../shared/schemas/verification/result.ts'
import { SIDE_WORDS } from '../geometry/sided.ts'
import { plusMinus, withUnit } from '../statistics/plus-minus.ts'

/** From what must be seen to first. */
const WORST_FIRST: readonly VerdictState[] = ['outside', 'unknown', 'undecided', 'not-done', 'inside']

/** A test's result out of its figures: as bad as the worst that has a limit. */
export function resultOf(figures: readonly RecordFigure[], hints: readonly string[] = []): TestResult {
  const judged = figures.filter(({ limit }) => limit !== null)
  const state = WORST_FIRST.find((one) => judged.some(({ verdict }) => verdict.state === one)) ?? 'not-done'
  return {
    figures: [...figures],
    state,
    sentence: sentenceOf(state, judged),
    hints: state === 'inside' ? [] : [...hints],
  }
}

/** A test that lacks what it needs: not done, with what is missing. */
export function notDone(missing: string, figures: readonly RecordFigure[] = []): TestResult {
  return { figures: [...figures], state: 'not-done', sentence: `Not done: ${missing}.`, hints: [] }
}

function sentenceOf(state: VerdictState, judged: readonly RecordFigure[]): string {
  const of = judged.filter(({ verdict }) => verdict.state === state)
  const [first] = of
  if (first === undefined) return 'Not done: nothing here could be judged.'
  if (state === 'inside') return judged.length === 1 ? oneInside(first) : allInside(judged)
  const more = of.length > 1 ? ` and ${of.length - 1} more` : ''
  const reason = state === 'outside' ? '' : ` ${first.verdict.sentence}`
  return `${inWords(first)}${more}: ${WORDS[state]}.${reason}`
}

/** What comes nearest to its limit is told with its numbers. */
function allInside(judged: readonly RecordFigure[]): string {
  const all = `All ${judged.length} figures are inside their limits`
  const [nearest] = judged
    .flatMap((figure) => {
      const used = usedOf(figure)
      return used === null ? [] : [{ figure, used }]
    })
    .toSorted((a, b) => b.used - a.used)
  return nearest === undefined ? `${all}.` : `${all}; nearest to one: ${inWords(nearest.figure)}.`
}

/** Share of the room up to a limit that value and uncertainty use up, 0 to 1; null where there are no numbers. */
function usedOf({ value, U, limit }: RecordFigure): number | null {
  if (value === null || limit === null) return null
  const { low, high } = limit
  const room = Math.min(
    high === null ? Number.POSITIVE_INFINITY : high - value,
    low === null ? Number.POSITIVE_INFINITY : value - low,
  )
  if (!Number.isFinite(room)) return null
  const whole = low === null || high === null ? Math.abs(low ?? high ?? 0) : (high - low) / 2
  return 1 - (room - (U ?? 0)) / Math.max(whole, 1e-12)
}

const oneInside = (figure: RecordFigure): string =>
  figure.answer === null ? `${inWords(figure)}: inside.` : `${inWords(figure)}.`

const WORDS: Readonly<Record<VerdictState, string>> = {
  inside: 'inside',
  outside: 'outside',
  undecided: 'undecided',
  unknown: 'unknown',
  'not-done': 'not done',
}

/** "End clearance, drive side 1.20 ± 0.10 mm (1.5 to 3 mm)". */
function inWords({ title, side, point, value, U, unit, answer, limit }: RecordFigure): string {
  const where = [side === null ? '' : SIDE_WORDS[side], point ?? ''].filter((part) => part !== '').join(', ')
  const what = where === '' ? title : `${title}, ${where}`
  if (answer !== null) return `${what}: ${answer}`
  if (value === null) return what
  return `${what} ${withUnit(plusMinus(value, U), unit)}${limit === null ? '' : ` (${limit.text})`}`
}
