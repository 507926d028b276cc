import { describe, expect, it, vi } from 'vitest'
import { confusableIn } from '../../lib/diagnosis/confusable.ts'
import { diagnose } from '../../lib/diagnosis/diagnose.ts'
import { FEATURES } from '../../lib/diagnosis/features.ts'
import { TEST_COSTS } from '../../lib/diagnosis/test-costs.ts'
import { FAULT_IDS } from '../../shared/faults.ts'
import { type DiagnosisFeature, FEATURE_IDS } from '../../shared/schemas/diagnosis.ts'
import { CONTEXT, feature, PICTURES } from './support/pictures.ts'

vi.setConfig({ testTimeout: 120_000 })

const SIDES = ['drive_side', 'operator_side'] as const

/** Every feature at the middle of what sound installs show. */
const SOUND: readonly DiagnosisFeature[] = FEATURE_IDS.flatMap((id) => {
  const { scale, healthy, sided, usualU } = FEATURES[id]
  const value = scale === 'yes-no' ? Math.round(healthy.mean) : scale === 'log' ? Math.exp(healthy.mean) : healthy.mean
  const u = scale === 'log' ? usualU * value : usualU
  return (sided ? SIDES : [null]).map((side) => feature(id, value, u, side))
})

describe('nothing wrong', () => {
  const answer = diagnose({ features: [...SOUND], context: CONTEXT })
  it('is healthy, as nothing found above what would have been found', () => {
    expect(answer.state).toBe('healthy')
    expect(answer.sentence).toMatch(/nothing found above/i)
    expect(answer.causes[0]?.probability).toBeGreaterThan(0.9)
  })
  it('with everything measured every cause has a size from which on it would be found', () => {
    for (const { cause, value } of answer.thresholds) expect(value, cause).not.toBeNull()
  })
  it('asks for no more tests that would tell much when all is measured', () => {
    for (const { test, bits } of answer.nextTests) expect(bits, test).toBeLessThan(0.01)
  })
})

describe('evidence that is withheld leads to a group and not to a claim', () => {
  it('both sides low by the same share, running: path, span, or the web itself', () => {
    const features = [feature('agreement-now', -40, 1.5), feature('imbalance-now', 0.2, 0.5)]
    const { state, groups, causes } = diagnose({ features, context: CONTEXT })
    expect(state).toBe('group')
    const members = groups[0]?.members.map(({ cause }) => cause) ?? []
    expect(members).toEqual(expect.arrayContaining(['span-wrong', 'other-path']))
    const of = (id: string) => causes.find(({ cause }) => cause === id)
    const total = members.reduce((sum, id) => sum + (of(id)?.prior ?? 0), 0)
    for (const id of members) expect(of(id)?.probability).toBeLessThanOrEqual((of(id)?.prior ?? 0) / total + 1e-9)
  })
  it('a centred weight that shows nothing leaves the web; one that shows the same leaves the cells', () => {
    const seen = [feature('imbalance-now', 20, 0.5), feature('slope-common', 0.1, 1)]
    const first = (extra: DiagnosisFeature) =>
      diagnose({ features: [...seen, extra], context: CONTEXT }).causes[0]?.cause
    expect(first(feature('weight-difference', 0.2, 0.4))).toBe('web-off-centre')
    expect(first(feature('weight-difference', 20, 0.4))).not.toBe('web-off-centre')
  })
})

describe('what fits nothing', () => {
  it('is unknown', () => {
    // A roller that turns a third faster than its web, and a rope that finds an arrow 80° off that the inclinometer finds right.
    const features = [
      ...SOUND.filter(({ id }) => id !== 'turn-ratio' && id !== 'core-full-change'),
      feature('turn-ratio', 1.33, 0.003),
      feature('core-full-change', 60, 1),
    ]
    expect(diagnose({ features, context: CONTEXT }).state).toBe('unknown')
  })
})

describe('two things at once', () => {
  it('are both told when each explains what the other cannot', () => {
    const of = (id: (typeof FAULT_IDS)[number]) => PICTURES[id]
    const features = [...of('roller-unbalance').filter(({ id }) => id !== 'noise'), ...of('sides-swapped')]
    const answer = diagnose({ features, context: CONTEXT })
    expect(answer.state).toBe('combination')
    expect(answer.combination?.members.map(({ cause }) => cause).sort()).toEqual(['roller-unbalance', 'sides-swapped'])
  })
  it('are not seen where one explains all', () => {
    for (const id of FAULT_IDS) {
      const { combination } = diagnose({ features: [...PICTURES[id]], context: CONTEXT })
      expect(combination, id).toBeNull()
    }
  })
})

describe('the next test', () => {
  it('is, among the first, the push where a side reads negative', () => {
    const features = [feature('reads-negative', 1, 0, 'operator_side'), feature('reads-negative', 0, 0, 'drive_side')]
    const tests = diagnose({ features, context: CONTEXT }).nextTests.map(({ test }) => test)
    expect(tests.slice(0, 3)).toContain('electric.push')
  })
  it('parts web from cells by a centred weight', () => {
    const features = [feature('imbalance-now', 20, 0.5), feature('agreement-now', 0.1, 1.5)]
    const [first] = diagnose({ features, context: CONTEXT }).nextTests
    expect(['known-weight.series', 'running.points']).toContain(first?.test)
    expect(first?.bits).toBeGreaterThan(0.1)
  })
  it('has a cost for every test that tells a feature, and tells something for every cost', () => {
    const telling = new Set(FEATURE_IDS.flatMap((id) => FEATURES[id].tests))
    expect(Object.keys(TEST_COSTS).sort()).toEqual([...telling].sort())
  })
})

describe('what running data alone cannot tell apart', () => {
  const table = new Map(
    confusableIn(CONTEXT).map((row) => [`${row.cause}${row.side ?? ''}`, row.with.map(({ cause }) => cause)]),
  )
  it.each([
    // the same falling signal, by arrow or by wire
    ['arrow-reverseddrive_side', 'polarity-reversed'],
    ['both-arrows-off', 'zero-wrong'],
    ['sides-swapped', 'healthy'],
    ['span-wrong', 'zero-wrong'],
    // the same offset that stepped
    ['roller-unbalance', 'roller-runout'],
  ])('%s looks like %s', (one, other) => expect(table.get(one)).toContain(other))
  it.each([
    ['mains-hum', 'roller-unbalance'],
    ['idler-slipping', 'healthy'],
    ['stuck-valuedrive_side', 'healthy'],
    ['web-off-centre', 'span-wrong'],
  ])('%s does not look like %s', (one, other) => expect(table.get(one)).not.toContain(other))
})
