import fc from 'fast-check'
import { type RingBatch, ZoneRing } from '../../app/_stream/ring.ts'
import { type QualityCode, qualityByte } from '../../shared/quality.ts'

/** One row of a made-up zone with two columns. */
export interface Row {
  readonly t: number
  readonly values: readonly [number, number]
  readonly codes: readonly [QualityCode, QualityCode]
}

export function batchOf(rows: readonly Row[]): RingBatch {
  return {
    timesMs: Float64Array.from(rows, (r) => r.t),
    values: [0, 1].map((c) => Float32Array.from(rows, (r) => r.values[c] ?? 0)),
    qualities: [0, 1].map((c) => Uint8Array.from(rows, (r) => qualityByte(r.codes[c] ?? 'missing'))),
  }
}

export function ringWith(rows: readonly Row[], capacity = 5000): ZoneRing {
  const ring = new ZoneRing(['drive_side', 'operator_side'], capacity)
  ring.push(batchOf(rows))
  return ring
}

const code = fc.oneof(
  { weight: 8, arbitrary: fc.constant<QualityCode>('good') },
  { weight: 1, arbitrary: fc.constantFrom<QualityCode>('saturated', 'out-of-range-uncertain') },
  { weight: 2, arbitrary: fc.constantFrom<QualityCode>('wire-break', 'no-answer', 'missing') },
)
/** Values that float32 holds exactly, so that equality means equality. */
const value = fc.integer({ min: -4000, max: 4000 }).map((n) => n / 8)

/** Rows 1 to 40 ms apart, now and then with a hole of up to 2 s; a bad side holds NaN as on the wire. */
export const rowsArbitrary: fc.Arbitrary<Row[]> = fc
  .array(
    fc.record({
      step: fc.oneof(
        { weight: 12, arbitrary: fc.integer({ min: 1, max: 40 }) },
        { weight: 1, arbitrary: fc.integer({ min: 60, max: 2000 }) },
      ),
      values: fc.tuple(value, value),
      codes: fc.tuple(code, code),
    }),
    { minLength: 1, maxLength: 250 },
  )
  .map((steps) => {
    let t = 1_700_000_000_000
    return steps.map(({ step, values, codes }) => {
      t += step
      return { t, values, codes }
    })
  })
