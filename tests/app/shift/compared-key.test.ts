import { describe, expect, it } from 'vitest'
import { comparedKey } from '../../../app/shift/_model/use-analysis.ts'

describe('what a stretch is compared with, as part of the question', () => {
  const followed = (toMs: number) => ({ fromMs: 0, toMs })

  it('stays the same while a followed stretch that is compared with itself grows: the answer stays on the sheet', () => {
    const [now, later] = [followed(1000), followed(4000)]
    expect(comparedKey(later, later)).toBe(comparedKey(now, now))
  })
  it('is another for another stretch, and for none', () => {
    const keys = [null, followed(1), followed(2)].map((earlier) => comparedKey(followed(9), earlier))
    expect(new Set(keys).size).toBe(3)
  })
})
