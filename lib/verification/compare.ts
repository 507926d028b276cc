import type { RecordFigure, VerificationRecord } from '../../shared/schemas/verification.ts'
import type { ComparedFigure, RecordComparison } from '../../shared/schemas/verification-compare.ts'
import { SIDE_WORDS } from '../geometry/sided.ts'
import { shortNumber } from '../statistics/words.ts'

interface Found {
  readonly test: string
  readonly title: string
  readonly figure: RecordFigure
}

/**
 * What changed between two records of a zone, beyond the uncertainty of both; not merely what differs.
 *
 * d = after − before, U(d) = √(U_after² + U_before²): the parts of both uncertainties are taken as independent. What
 * both visits share (a gain, a geometry) really cancels in the difference, so this U is too wide rather than too narrow
 * and a change that is called one is one (JCGM 100, 5.1.2; 5.2). A yes or no has changed when it reads otherwise. The
 * newest result of each test counts.
 */
export function compareRecords(earlier: VerificationRecord, later: VerificationRecord): RecordComparison {
  const before = figuresOf(earlier)
  const after = figuresOf(later)
  const result = {
    changed: [] as ComparedFigure[],
    unchanged: [] as ComparedFigure[],
    notComparable: [] as ComparedFigure[],
  }
  for (const key of new Set([...before.keys(), ...after.keys()])) {
    const { kind, compared } = compare(before.get(key), after.get(key))
    result[kind].push(compared)
  }
  const which = ({ head: { id, title, begunMs } }: VerificationRecord) => ({ id, title, begunMs })
  return { earlier: which(earlier), later: which(later), ...result }
}

function figuresOf({ entries }: VerificationRecord): ReadonlyMap<string, Found> {
  const newest = new Map<string, readonly Found[]>()
  for (const entry of entries)
    if (entry.kind === 'result')
      newest.set(
        entry.test,
        entry.result.figures.map((figure) => ({ test: entry.test, title: entry.title, figure })),
      )
  const all = [...newest.values()].flat()
  return new Map(
    all.map((found) => [`${found.test} ${found.figure.id} ${found.figure.side} ${found.figure.point}`, found]),
  )
}

function compare(
  before: Found | undefined,
  after: Found | undefined,
): { kind: 'changed' | 'unchanged' | 'notComparable'; compared: ComparedFigure } {
  const found = after ?? before
  if (found === undefined) throw new RangeError('nothing to compare')
  const { test, title, figure } = found
  const where = [
    figure.side === null || figure.side === 'single' ? '' : SIDE_WORDS[figure.side],
    figure.point ?? '',
  ].filter((part) => part !== '')
  const what = `${title}: ${[figure.title, ...where].join(', ')}`
  const base = { test, figure: figure.id, side: figure.side, point: figure.point, unit: figure.unit }
  const values = { before: before?.figure.value ?? null, after: after?.figure.value ?? null }
  const none = (why: string) => ({
    kind: 'notComparable' as const,
    compared: { ...base, ...values, difference: null, sentence: `${what}: ${why}.` },
  })
  if (before === undefined) return none('was not measured in the earlier record')
  if (after === undefined) return none('was not measured in the later record')
  const [a, b] = [before.figure, after.figure]
  if (a.answer !== null || b.answer !== null) {
    if (a.answer === null || b.answer === null) return none('was answered once and measured once')
    const isSame = a.answer === b.answer
    const sentence = isSame ? `${what}: ${b.answer} as before.` : `${what}: was ${a.answer}, is ${b.answer}.`
    return { kind: isSame ? 'unchanged' : 'changed', compared: { ...base, ...values, difference: null, sentence } }
  }
  if (a.unit !== b.unit) return none(`is told in ${a.unit} before and ${b.unit} after`)
  if (a.value === null || b.value === null) return none('was unknown in one of the records')
  if (a.U === null || b.U === null) return none('bears no uncertainty in one of the records')
  const difference = { value: b.value - a.value, U: Math.hypot(a.U, b.U) }
  const isChanged = Math.abs(difference.value) > difference.U
  const unit = b.unit === '' ? '' : ` ${b.unit}`
  const words = `${shortNumber(a.value)} before, ${shortNumber(b.value)} after${unit}; difference ${shortNumber(difference.value)} ± ${shortNumber(difference.U)}${unit}`
  const sentence = `${what}: ${words}${isChanged ? '' : ', within its uncertainty'}.`
  return { kind: isChanged ? 'changed' : 'unchanged', compared: { ...base, ...values, difference, sentence } }
}
