import { describe, expect, it, vi } from 'vitest'
import { compareResults } from '../../lib/verification/compare.ts'
import type { ResultEntry } from '../../lib/verification/comparing/told.ts'
import { judgeTest } from '../../lib/verification/judge-test.ts'
import type { TestId } from '../../shared/schemas/verification/test-ids.ts'
import type { ActiveFault } from '../../simulator/faults/active.ts'
import { findScenario } from '../../simulator/scenarios/registry.ts'
import { type Brought, BY_HAND } from './by-hand.ts'
import { SimulatedInstall } from './simulated-install.ts'

vi.setConfig({ testTimeout: 120_000 })

/** A visit to the install: some tests made by hand, and the baseline. */
function visit(seed: number, faults: readonly Omit<ActiveFault, 'zone'>[] = []): readonly ResultEntry[] {
  const scenario = findScenario('install')
  const at = new SimulatedInstall({
    scenario,
    seed,
    faults: faults.map((fault) => ({ ...fault, zone: '' })),
    unrest: 1,
    speedMMin: 80,
    newtons: 180,
    zeroTakenSince: true,
  })
  const entry = (test: TestId, { values, captures }: Brought): ResultEntry => {
    const result = judgeTest(at.context, test, { phase: 'as-left', values, captures, earlier: [], shift: null })
    return {
      kind: 'result',
      test,
      title: test,
      phase: 'as-left',
      seq: 1,
      timeMs: 0,
      captures,
      result,
    } as unknown as ResultEntry
  }
  const tests = ['electric.channels', 'known-weight.series', 'running.points', 'running.step'] as const
  const made = tests.map((test) => entry(test, BY_HAND[test]?.(at) ?? { values: {}, captures: [] }))
  at.running()
  return [...made, entry('warm.fingerprint', { values: {}, captures: [at.capture('baseline', 60)] })]
}

describe('two visits to a simulated install', () => {
  const first = visit(1)

  it('to which nothing happened: at most one figure of ten is called changed, and none large against its limit', () => {
    const { changed, unchanged } = compareResults(first, visit(2))
    expect(changed.length + unchanged.length).toBeGreaterThan(60)
    expect(changed.length).toBeLessThan(0.1 * (changed.length + unchanged.length))
    expect(Math.max(0, ...changed.map(({ ofLimit }) => ofLimit ?? 0))).toBeLessThan(0.25)
  })

  it('between which one gain changed: the agreement of that side, of the weights and of the baseline, and not of the other', () => {
    const gain = { fault: 'gain-one-side', side: 'drive_side', severity: 6, onset: { kind: 'constant' } } as const
    const { changed } = compareResults(first, visit(3, [gain]))
    const of = (test: string, figure: string) =>
      changed.filter((one) => one.test === test && one.figure === figure).map(({ side }) => side)
    expect(of('warm.fingerprint', 'baseline-agreement')).toEqual(['drive_side'])
    expect(of('known-weight.series', 'gain-error')).toEqual(['drive_side'])
    expect(new Set(of('running.points', 'agreement'))).toEqual(new Set(['drive_side']))
  })
})
