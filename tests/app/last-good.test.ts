import { describe, expect, it } from 'vitest'
import { LastGood, newestUsableMs } from '../../app/_stream/last-good.ts'
import type { QualityCode } from '../../shared/quality.ts'
import type { ZoneNow } from '../../shared/schemas/now.ts'
import { ringWith } from './plot-rows.ts'

const ring = ringWith([
  { t: 1000, values: [1, 1], codes: ['good', 'good'] },
  { t: 1010, values: [1, 1], codes: ['saturated', 'missing'] },
  { t: 1020, values: [0, 0], codes: ['no-answer', 'no-answer'] },
])
const picture = (code: QualityCode, timeMs: number) =>
  ({ zone: 'unwind', sides: { drive_side: { live: { code, timeMs } } } }) as unknown as ZoneNow

describe('the last usable sample', () => {
  it('is the newest row of that side that is good or uncertain', () => {
    expect([newestUsableMs(ring, 0), newestUsableMs(ring, 1)]).toEqual([1010, 1000])
    expect(newestUsableMs(ringWith([]), 0)).toBeNull()
  })

  it('is remembered when pictures and rows hold bad samples only, however long', () => {
    const kept = new LastGood()
    kept.note(picture('good', 5000))
    kept.note(picture('no-answer', 9000))
    expect(kept.of('unwind', 'drive_side', ring)).toBe(5000)
    expect(kept.of('unwind', 'drive_side', null)).toBe(5000)
  })

  it('is that of the rows where those are newer, and stays when they are gone', () => {
    const kept = new LastGood()
    kept.note(picture('good', 500))
    expect(kept.of('unwind', 'drive_side', ring)).toBe(1010)
    expect(kept.of('unwind', 'drive_side', ringWith([]))).toBe(1010)
  })

  it('is told for no other zone or side, and not after it was cleared', () => {
    const kept = new LastGood()
    kept.note(picture('good', 5000))
    expect(kept.of('rewind', 'drive_side', null)).toBeNull()
    expect(kept.of('unwind', 'operator_side', null)).toBeNull()
    kept.clear()
    expect(kept.of('unwind', 'drive_side', null)).toBeNull()
  })
})
