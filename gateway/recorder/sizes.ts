import type { KeptKind } from '../../shared/schemas/recorder.ts'
import { type Database, prepared } from './driver.ts'

/** What a row of 10 s takes with its share of the wider ones; these and what a row has beside its texts are rough. */
export const BYTES_A_ROLL_UP = 76
export const BYTES_BESIDE = 64

/** What each kind takes, kept up to date by whoever adds or deletes. Part of the caller's transaction. */
export function addSize(db: Database, kind: KeptKind, bytes: number): void {
  if (bytes !== 0) prepared(db, 'UPDATE size SET bytes = bytes + ? WHERE kind = ?').run(bytes, kind)
}

export function sizeOf(db: Database, kind: KeptKind): number {
  const row = prepared(db, 'SELECT bytes FROM size WHERE kind = ?').get(kind) as { bytes: number } | undefined
  return row?.bytes ?? 0
}
