import type { TrainingCatalogue, TrainingFinding } from '../../../shared/schemas/training.ts'

/** A cause as it is being named: half-made ones have empty texts. */
export interface FindingDraft {
  readonly cause: string
  readonly side: string
  readonly zone: string
  readonly remedy: string
}

export const EMPTY_FINDING: FindingDraft = { cause: '', side: '', zone: '', remedy: '' }
export const NOT_KNOWN = 'not-known'

/** What is named: nothing yet, that nothing is wrong, or causes. */
export type Verdict = '' | 'nothing' | 'causes'

export interface AnswerDraft {
  readonly verdict: Verdict
  readonly findings: readonly FindingDraft[]
}

export type ReadAnswer =
  | { readonly ok: true; readonly findings: readonly TrainingFinding[] }
  /** `at`: number of the finding from 0; null: the answer as a whole. */
  | { readonly ok: false; readonly at: number | null; readonly fault: string }

const SIDES_NAMED: ReadonlySet<string> = new Set(['drive_side', 'operator_side'])

/** The answer as it is handed in; whole, or what is still open. Nothing wrong is the empty list. */
export function readAnswer(draft: AnswerDraft, catalogue: TrainingCatalogue, zones: readonly string[]): ReadAnswer {
  if (draft.verdict === '') return { ok: false, at: null, fault: 'Say whether something is wrong.' }
  if (draft.verdict === 'nothing') return { ok: true, findings: [] }
  const findings: TrainingFinding[] = []
  const named = new Set<string>()
  for (const [at, one] of draft.findings.entries()) {
    const cause = catalogue.causes.find(({ id }) => id === one.cause)
    if (cause === undefined) return { ok: false, at, fault: 'Choose a cause.' }
    if (cause.oneSided && !SIDES_NAMED.has(one.side)) return { ok: false, at, fault: 'Say on which side.' }
    if (one.remedy === '') return { ok: false, at, fault: 'Choose a remedy, or that you know none.' }
    const zone = zones.length === 1 ? (zones[0] ?? '') : one.zone
    if (!zones.includes(zone)) return { ok: false, at, fault: 'Say at which zone.' }
    const side = cause.oneSided ? (one.side as TrainingFinding['side']) : null
    const key = `${cause.id} ${side} ${zone}`
    if (named.has(key)) return { ok: false, at, fault: 'This cause is named above already.' }
    named.add(key)
    findings.push({ cause: cause.id, side, zone, remedy: one.remedy === NOT_KNOWN ? null : one.remedy })
  }
  if (findings.length === 0) return { ok: false, at: null, fault: 'Name at least one cause.' }
  return { ok: true, findings }
}
