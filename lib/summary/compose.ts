import type { StoredEvent } from '../../shared/schemas/events.ts'
import type { ZoneHistory } from '../../shared/schemas/history.ts'
import type { ShiftAnalysis } from '../../shared/schemas/shift.ts'
import type { ShiftSummary, SummaryMean } from '../../shared/schemas/shift-summary.ts'
import { gapsOf, leastGapMs } from './gaps.ts'
import { sideMeans } from './side-means.ts'
import { standingAlarms } from './standing-alarms.ts'
import { steadyStretches } from './steady.ts'

export interface SummaryParts {
  readonly plant: string | null
  readonly line: string | null
  readonly zone: { readonly id: string; readonly name: string }
  readonly fromMs: number
  readonly toMs: number
  readonly madeMs: number
  /** GET /api/zones/ID/history of the shift; null when it could not be had. */
  readonly history: ZoneHistory | null
  /**
   * GET /api/zones/ID/shift of the same. The means come from its comparison: where the reader compares with nothing,
   * ask with the shift itself as the baseline and set `isCompared` to false.
   */
  readonly analysis: ShiftAnalysis | null
  readonly isCompared: boolean
  /** The trail of the shift, in any order. */
  readonly events: readonly StoredEvent[]
  /** Transitions of alarms before the shift, the newest ones, in any order. */
  readonly alarmsBefore: readonly StoredEvent[]
}

export const NO_CERTIFICATE =
  'This is a record of what was measured and noted, not a certificate: a verdict is advice for a competent person.'

/** What happened beside alarms and notes and belongs on the sheet. */
const HAPPENED: ReadonlySet<StoredEvent['kind']> = new Set([
  'gateway',
  'recording',
  'clock-step',
  'config',
  'device',
  'baseline',
])

/** The facts of one shift, for paper and for programs alike: nothing is computed anew, only put together. */
export function composeSummary(parts: SummaryParts): ShiftSummary {
  const { history, analysis } = parts
  const events = parts.events.toSorted((a, b) => a.timeMs - b.timeMs || a.id - b.id)
  return {
    plant: parts.plant,
    line: parts.line,
    zone: { id: parts.zone.id, name: parts.zone.name },
    fromMs: parts.fromMs,
    toMs: parts.toMs,
    madeMs: parts.madeMs,
    revisions: history?.revisions ?? [],
    recording: {
      sentence: analysis?.sourceSentence ?? null,
      rowMs: history === null ? 0 : leastGapMs(history),
      gaps: history === null ? [] : [...gapsOf(untilNow(history, parts.madeMs))],
    },
    steadiness: {
      state: analysis?.steadiness ?? 'unknown',
      minutes: minutesByState(analysis),
      judged: analysis?.minutes.judged ?? 0,
      asked: analysis?.minutes.asked ?? 0,
    },
    sides: history === null ? [] : [...sideMeans(history, steadyStretches(analysis))],
    means: meansOf(analysis),
    drifts: analysis?.drifts ?? [],
    steps: analysis?.steps ?? [],
    compared: parts.isCompared ? comparedWith(analysis) : null,
    standing: standingAlarms(parts.alarmsBefore),
    alarms: events.filter(({ kind }) => kind === 'alarm'),
    notes: events.filter(({ kind }) => kind === 'note'),
    happened: events.filter(({ kind }) => HAPPENED.has(kind)),
    sentence: NO_CERTIFICATE,
  }
}

/** What has not come yet is no gap; a recording that is ahead of the clock has come. */
function untilNow(history: ZoneHistory, nowMs: number): ZoneHistory {
  return { ...history, toMs: Math.min(history.toMs, Math.max(nowMs, history.keptToMs ?? nowMs)) }
}

function minutesByState(analysis: ShiftAnalysis | null): ShiftSummary['steadiness']['minutes'] {
  const minutes: ShiftSummary['steadiness']['minutes'] = {}
  for (const { state, minutes: count } of analysis?.periods ?? []) minutes[state] = (minutes[state] ?? 0) + count
  return minutes
}

function meansOf(analysis: ShiftAnalysis | null): SummaryMean[] {
  return (analysis?.baseline?.changes ?? []).flatMap(({ what, unit, after }) =>
    after === null ? [] : [{ what, unit, value: after.value, U: after.U, minutes: after.minutes }],
  )
}

function comparedWith(analysis: ShiftAnalysis | null): ShiftSummary['compared'] {
  const baseline = analysis?.baseline ?? null
  return baseline === null ? null : { fromMs: baseline.fromMs, toMs: baseline.toMs, changes: baseline.changes }
}
