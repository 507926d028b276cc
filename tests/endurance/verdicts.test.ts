import { describe, expect, it } from 'vitest'
import { flat, noHigher, type Point } from './verdicts.ts'

const DAY_MS = 86_400_000
const WOBBLE = [0, 4, -3, 5, -4, 2, -1]
const series = (of: (i: number) => number): Point[] =>
  Array.from({ length: 21 }, (_, i) => ({ tMs: i * DAY_MS, value: of(i) + (WOBBLE[i % WOBBLE.length] ?? 0) }))
const LIMIT_MB = 20

describe('memory at rest', () => {
  it('is held when it is flat, by its slope and by its last third alike', () => {
    const points = series(() => 160)
    expect([flat('it', points, LIMIT_MB).state, noHigher('it', points, LIMIT_MB).state]).toEqual(['held', 'held'])
  })

  it('is broken by a step, which its slope alone leaves undecided', () => {
    const points = series((i) => (i < 10 ? 270 : 301))
    expect(flat('it', points, LIMIT_MB).state).toBe('undecided')
    expect(noHigher('it', points, LIMIT_MB).state).toBe('broken')
  })

  it('is broken by even growth over the limit, by its slope', () => {
    expect(
      flat(
        'it',
        series((i) => 160 + 3 * i),
        LIMIT_MB,
      ).state,
    ).toBe('broken')
  })

  it('is undecided with fewer looks than tell anything', () => {
    expect(noHigher('it', series(() => 160).slice(0, 9), LIMIT_MB).state).toBe('undecided')
  })
})
