import { type QualityCode, qualityFromByte, qualityOf } from '../../shared/quality.ts'
import type { RowSource } from './decimate.ts'
import { allowedMs, allowedSilenceMs, type GapRule } from './gap-rule.ts'
import type { GapReason } from './reading.ts'

/** A stretch of time in which columns have no number, or one that is only uncertain. */
export interface Flag {
  /** Indexes into the columns asked for: those with the same stretch for the same reason. */
  readonly columns: readonly number[]
  readonly kind: 'gap' | 'uncertain'
  readonly reason: GapReason
  readonly fromMs: number
  readonly toMs: number
  /** It reaches past the newest row: it lasts. */
  readonly isOpen: boolean
}

type Stretch = Omit<Flag, 'columns'>

/** Reasons that only say that nothing is there: the neighbour that says why goes before them. */
const TELLS_LITTLE: ReadonlySet<GapReason> = new Set(['missing', 'no-samples'])

/**
 * Every flagged stretch that touches `fromMs`–`toMs`, in order of its beginning. Touching stretches of one reason are
 * one, and a bad reason takes in the short holes between its rows: a device that does not answer is asked, and
 * recorded, more seldom than one that does. The last stretch ends at `toMs` while it lasts.
 */
export function flagsBetween(
  source: RowSource,
  columns: readonly number[],
  fromMs: number,
  toMs: number,
  rule: GapRule,
): Flag[] {
  const end = Math.min(source.length, source.indexAtOrAfter(toMs) + 1)
  const perColumn = columns.map((column) => {
    const start = beginningOf(source, column, Math.max(0, source.indexAtOrAfter(fromMs) - 1))
    return merged(stretchesOf(source, column, start, end, toMs, rule), rule)
  })
  return grouped(perColumn)
    .filter((f) => f.toMs > fromMs && f.fromMs < toMs)
    .sort((a, b) => a.fromMs - b.fromMs)
}

/** First row of the run of rows without good samples that row `at` stands in, so that a stretch keeps its length. */
function beginningOf(source: RowSource, column: number, at: number): number {
  const qualities = source.qualities(column)
  let first = at
  while (first > 0 && qualityOf(qualityFromByte(qualities[first] ?? 255)) !== 'good') first--
  return first
}

/** What each row and the time after it says, rows of the same code already joined. */
function stretchesOf(
  source: RowSource,
  column: number,
  start: number,
  end: number,
  toMs: number,
  rule: GapRule,
): Stretch[] {
  const found: Stretch[] = []
  const qualities = source.qualities(column)
  const times = source.times()
  const envelopes = source.envelopes()
  for (let i = start; i < end; i++) {
    const isOpen = i + 1 >= source.length
    const code = qualityFromByte(qualities[i] ?? 255)
    const from = times[i] ?? 0
    const next = isOpen ? Math.max(from, toMs) : (times[i + 1] ?? toMs)
    const isEnvelope = envelopes[i] === 1 || envelopes[i + 1] === 1
    const allowed = isOpen ? allowedSilenceMs(rule, isEnvelope) : allowedMs(rule, isEnvelope)
    push(found, rowStretches(code, { fromMs: from, toMs: next, isOpen }, allowed, rule))
  }
  return found
}

type Span = Pick<Stretch, 'fromMs' | 'toMs' | 'isOpen'>

/** A row stands until the next one, but not for longer than samples may be apart; what is left is a hole. */
function rowStretches(code: QualityCode, span: Span, allowedMs: number, { pausesMs }: GapRule): Stretch[] {
  const hole: Stretch = { ...span, kind: 'gap', reason: 'no-samples' }
  const isHole = span.toMs - span.fromMs > allowedMs
  const quality = qualityOf(code)
  if (quality === 'good') return isHole ? [hole] : []
  const isOneReason = quality === 'bad' && span.toMs - span.fromMs <= Math.max(pausesMs, allowedMs)
  const kind = quality === 'bad' ? 'gap' : 'uncertain'
  if (!isHole || isOneReason) return [{ ...span, kind, reason: code }]
  const endMs = span.fromMs + allowedMs
  return [
    { kind, reason: code, fromMs: span.fromMs, toMs: endMs, isOpen: false },
    { ...hole, fromMs: endMs },
  ]
}

function push(found: Stretch[], stretches: readonly Stretch[]): void {
  for (const stretch of stretches) {
    const last = found.at(-1)
    if (last !== undefined && last.reason === stretch.reason && last.toMs === stretch.fromMs)
      found[found.length - 1] = { ...last, toMs: stretch.toMs, isOpen: stretch.isOpen }
    else found.push(stretch)
  }
}

/** Joins touching gaps of which one says why and the other only that nothing is there. */
function merged(stretches: readonly Stretch[], rule: GapRule): Stretch[] {
  const found: Stretch[] = []
  for (const stretch of stretches) {
    const last = found.at(-1)
    const reason = last === undefined ? null : commonReason(last, stretch, rule)
    if (last === undefined || reason === null) found.push(stretch)
    else found[found.length - 1] = { ...last, reason, toMs: stretch.toMs, isOpen: stretch.isOpen }
  }
  return found
}

function commonReason(before: Stretch, after: Stretch, { pausesMs }: GapRule): GapReason | null {
  if (before.kind !== 'gap' || after.kind !== 'gap' || before.toMs !== after.fromMs) return null
  if (before.reason === after.reason) return before.reason
  const isTakenIn = ({ reason, fromMs, toMs }: Stretch) =>
    reason === 'missing' || (reason === 'no-samples' && toMs - fromMs <= pausesMs)
  if (isTakenIn(after)) return TELLS_LITTLE.has(before.reason) ? 'no-samples' : before.reason
  return isTakenIn(before) ? after.reason : null
}

/** One flag for the columns that have the very same stretch, as those of one device have. */
function grouped(perColumn: readonly (readonly Stretch[])[]): Flag[] {
  const flags = new Map<string, Flag>()
  for (const [column, stretches] of perColumn.entries()) {
    for (const stretch of stretches) {
      const key = `${stretch.kind}:${stretch.reason}:${stretch.fromMs}:${stretch.toMs}`
      flags.set(key, { ...stretch, columns: [...(flags.get(key)?.columns ?? []), column] })
    }
  }
  return [...flags.values()]
}
