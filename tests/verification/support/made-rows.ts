import type { VerificationContext } from '../../../lib/verification/context.ts'
import { captureFacts } from '../../../lib/verification/evidence/capture-facts.ts'
import type { CapturedRows } from '../../../lib/verification/evidence/rows.ts'
import { type QualityCode, qualityByte } from '../../../shared/quality.ts'
import type { Capture } from '../../../shared/schemas/verification/capture.ts'

export const FROM_MS = Date.UTC(2026, 0, 5, 8)

/** A column's signal: SI at a time in seconds and a row, the code of a bad sample, null for none at that time. */
export type Signal = (s: number, row: number) => number | QualityCode | null

export interface MadeStretch {
  readonly seconds: number
  readonly rateHz: number
  readonly columns: Readonly<Record<string, Signal>>
}

/** Rows of even rate, the first at FROM_MS. The raw number is the reading that a gain of 250 N and a zero of 0.28 make of the force. */
function madeRows({ seconds, rateHz, columns }: MadeStretch): CapturedRows {
  const n = Math.round(seconds * rateHz)
  const names = Object.keys(columns)
  const told = names.map((name) => Array.from({ length: n }, (_, i) => columns[name]?.(i / rateHz, i) ?? null))
  const values = told.map((column) => Float64Array.from(column, (one) => (typeof one === 'number' ? one : Number.NaN)))
  return {
    revision: 'r1',
    columns: names,
    timesMs: Float64Array.from({ length: n }, (_, i) => FROM_MS + (1000 * i) / rateHz),
    values,
    raws: values.map((column) => column.map((value) => value / 250 + 0.28)),
    codes: told.map((column) =>
      Uint8Array.from(column, (one) => qualityByte(one === null ? 'missing' : typeof one === 'string' ? one : 'good')),
    ),
  }
}

/** What the capture of a made stretch says. */
export const factsOf = (context: VerificationContext, stretch: MadeStretch): Capture =>
  captureFacts(
    context,
    {
      key: '00000000-0000-4000-8000-000000000001',
      capture: 'made',
      fromMs: FROM_MS,
      toMs: FROM_MS + 1000 * stretch.seconds,
      values: {},
    },
    madeRows(stretch),
    [],
  )
