import type { RowSource } from './decimate.ts'
import type { DrawnColumn } from './drawn-columns.ts'
import type { GapRule } from './gap-rule.ts'
import { difference, type Reading, readingAt } from './reading.ts'

/** The two cursors that stay where they were put; epoch ms, null where not set. */
export interface Cursors {
  readonly a: number | null
  readonly b: number | null
}

export const NO_CURSORS: Cursors = { a: null, b: null }

/** The first goes to A, the second to B; a third begins anew with A. */
export function placeCursor(cursors: Cursors, tMs: number): Cursors {
  if (cursors.a === null || cursors.b !== null) return { a: tMs, b: null }
  return { a: cursors.a, b: tMs }
}

export interface CursorReadings {
  readonly tMs: number
  /** In the order of the columns, in shown units. */
  readonly readings: readonly Reading[]
}

/** What the columns show at one time, in shown units; under the cursor lies one bucket. */
export function readingsAt(
  source: RowSource | null,
  columns: readonly DrawnColumn[],
  tMs: number | null,
  bucketMs: number,
  gaps: GapRule,
): CursorReadings | null {
  if (source === null || tMs === null) return null
  return { tMs, readings: columns.map((c) => inUnit(readingAt(source, c.index, tMs, bucketMs / 2, gaps), c)) }
}

function inUnit(reading: Reading, { map }: DrawnColumn): Reading {
  if (reading.kind !== 'value') return reading
  const shown = (si: number) => si * map.factor + map.offset
  const ends = [shown(reading.lo), shown(reading.hi)]
  return {
    ...reading,
    mean: reading.mean === null ? null : shown(reading.mean),
    lo: Math.min(...ends),
    hi: Math.max(...ends),
  }
}

/** B − A of every column, in shown units; null where either is not known. */
export function differences(a: CursorReadings | null, b: CursorReadings | null): readonly (number | null)[] {
  if (a === null || b === null) return []
  return a.readings.map((reading, i) => difference(reading, b.readings[i] ?? { kind: 'outside' }))
}

/** Decimals for four digits of a number of this size, three at most. */
export function readingDecimals(size: number): number {
  const digitsBefore = Math.abs(size) < 1 ? 1 : Math.floor(Math.log10(Math.abs(size))) + 1
  return Math.min(3, Math.max(0, 4 - digitsBefore))
}
