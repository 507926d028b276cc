import type { RecordFigure } from '../../../shared/schemas/verification/result.ts'
import type { RecordEntry, TestPhase, VerificationRecord } from '../../../shared/schemas/verification.ts'
import { type OperatingPoint, operatingPoint } from './operating-point.ts'

export type ResultEntry = Extract<RecordEntry, { kind: 'result' }>

/** A figure with the entry that holds it, and where the web ran meanwhile; null where that is not told. */
export interface Told {
  readonly entry: ResultEntry
  readonly figure: RecordFigure
  readonly at: OperatingPoint | null
}

/** The figures of a result, in its order. */
export function toldIn(entry: ResultEntry): readonly Told[] {
  return entry.result.figures.map((figure) => ({
    entry,
    figure,
    at: figure.point === null ? null : (operatingPoint(figure.point) ?? null),
  }))
}

/** The newest result of each test, of one phase where it is named. */
export function newestResults({ entries }: VerificationRecord, phase?: TestPhase): readonly ResultEntry[] {
  const newest = new Map<string, ResultEntry>()
  for (const entry of entries)
    if (entry.kind === 'result' && (phase === undefined || entry.phase === phase)) newest.set(entry.test, entry)
  return [...newest.values()]
}
