import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { conditionOf } from '../../lib/alarms/condition.ts'
import { judge } from '../../lib/verdicts/judge.ts'
import type { VerdictState } from '../../shared/schemas/now.ts'

const limit = { target: 0, half: 10 }
const judged = (verdict: VerdictState, value: number | null, U: number | null = 1) => ({ verdict, value, U, limit })

describe('the condition behind a verdict', () => {
  it('is outside when the verdict is', () => expect(conditionOf(judged('outside', 12), 0.1)).toBe('outside'))

  it('is between when the verdict is undecided: that never alarms', () =>
    expect(conditionOf(judged('undecided', 10), 0)).toBe('between'))

  it('is inside only out of the deadband, uncertainty included', () => {
    // By hand: limit 10, deadband 10 % leaves 9; 8 + 1 is 9, 8.1 + 1 is more.
    expect(conditionOf(judged('inside', 8), 0.1)).toBe('inside')
    expect(conditionOf(judged('inside', -8.1), 0.1)).toBe('between')
    expect(conditionOf(judged('inside', -8.1), 0)).toBe('inside')
  })

  it('is counted from the target of the limit', () =>
    expect(conditionOf({ verdict: 'inside', value: 108, U: 1, limit: { target: 100, half: 10 } }, 0.1)).toBe('inside'))

  it('is unknown without value, uncertainty or limit, and for what was not judged', () => {
    expect(conditionOf(judged('unknown', null, null), 0)).toBe('unknown')
    expect(conditionOf(judged('unknown', 3), 0)).toBe('unknown')
    expect(conditionOf(judged('not-done', 3), 0)).toBe('unknown')
    expect(conditionOf({ ...judged('inside', 3), limit: null }, 0)).toBe('unknown')
    expect(conditionOf(judged('inside', 3, null), 0)).toBe('unknown')
  })

  it('never says inside where the rule of judgement does not, whatever the deadband', () => {
    const number = fc.double({ min: -30, max: 30, noNaN: true })
    fc.assert(
      fc.property(
        number,
        fc.double({ min: 0, max: 5, noNaN: true }),
        fc.double({ min: 0, max: 0.5, noNaN: true }),
        (value, uRandom, band) => {
          const measured = { value, uRandom, dof: Number.POSITIVE_INFINITY, systematic: [] }
          const { state, U } = judge(measured, { kind: 'band', ...limit }, null)
          const condition = conditionOf({ verdict: state, value, U, limit }, band)
          if (condition === 'inside') expect(state).toBe('inside')
          expect(condition === 'outside').toBe(state === 'outside')
        },
      ),
    )
  })
})
