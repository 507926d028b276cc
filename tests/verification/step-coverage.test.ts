import { describe, expect, it } from 'vitest'
import { movementOf } from '../../lib/verification/evidence/movement.ts'
import { normal } from '../statistics/noise-sources.ts'
import { figure, halfTurn } from './support/made-context.ts'
import { captured, judged } from './support/made-record.ts'

const context = halfTurn()
const RATE_HZ = 100
const SECONDS = 20
const FROM_MS = 1_760_000_000_000
const TAU = 1.2
const RUNS = 200

/** A step of 20 N through a filter of first order on both sides, with white noise of 0.5 N of each side's own. */
function stepped(seed: number) {
  const next = normal(seed)
  const signal = () => {
    const at = Array.from({ length: SECONDS * RATE_HZ }, (_, i) => i / RATE_HZ)
    const values = at.map((s) => 100 + (s < 5 ? 0 : 20 * (1 - Math.exp(-(s - 5) / TAU))) + 0.5 * next())
    return movementOf({ tMs: at.map((s) => FROM_MS + 1000 * s), values, raws: values }, FROM_MS, 0)
  }
  const change = { drive_side: signal(), operator_side: signal() }
  const capture = captured(context, 'step', { drive_side: { force: 110 }, operator_side: { force: 110 } }, { change })
  return judged(context, 'running.step', {}, [capture])
}

describe('a tension step through noise', () => {
  it('is told with uncertainties that hold the truth: rise τ ln 9, ratio 1, no delay', () => {
    const held = { rise: 0, 'rise-ratio': 0, delay: 0 }
    const truth = { rise: TAU * Math.log(9), 'rise-ratio': 1, delay: 0 }
    for (let seed = 1; seed <= RUNS; seed += 1) {
      const result = stepped(seed)
      for (const id of ['rise', 'rise-ratio', 'delay'] as const) {
        const { value, U } = figure(result, id, id === 'rise' ? 'drive_side' : null)
        if (Math.abs((value ?? Number.NaN) - truth[id]) <= (U ?? 0)) held[id] += 1
      }
    }
    // 95 % less three standard deviations of a binomial of 200.
    for (const [id, count] of Object.entries(held)) expect(count / RUNS, id).toBeGreaterThan(0.9)
  })
})
