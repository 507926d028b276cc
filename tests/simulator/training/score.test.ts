import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { FAULT_IDS } from '../../../shared/faults.ts'
import { type TrainingFinding, trainingScore } from '../../../shared/schemas/training.ts'
import type { ActiveFault } from '../../../simulator/faults/active.ts'
import { isFound, scored } from '../../../simulator/training/score.ts'

const ZONE = 'infeed'
const fault = (id: ActiveFault['fault'], side: ActiveFault['side']): ActiveFault => ({
  fault: id,
  zone: ZONE,
  side,
  severity: 5,
  onset: { kind: 'constant' },
})
const finding = (
  cause: TrainingFinding['cause'],
  side: TrainingFinding['side'],
  remedy: string | null = null,
): TrainingFinding => ({ cause, side, zone: ZONE, remedy })

const GAIN = fault('gain-one-side', 'drive_side')
const quiet = { unsafe: 0, hints: 0, wasTold: () => true }
const score = (truth: readonly ActiveFault[], findings: readonly TrainingFinding[] | null, rest = {}) =>
  scored({ truth, findings, ...quiet, ...rest })

describe('an answer is scored', () => {
  it('in full for cause, side and remedy: 4 + 2 + 2', () => {
    const full = score([GAIN], [finding('gain-one-side', 'drive_side', 'replace-cell')])
    expect(full).toMatchObject({ points: 8, most: 8, words: '1 of 1 named.' })
    expect(isFound(full, [GAIN])).toBe(true)
  })

  it('without the points of what is wrong in it', () => {
    const side = score([GAIN], [finding('gain-one-side', 'operator_side', 'replace-cell')])
    expect(side).toMatchObject({ points: 6 })
    expect(isFound(side, [GAIN])).toBe(false)
    expect(score([GAIN], [finding('gain-one-side', 'drive_side', 'turn-arrow')])).toMatchObject({ points: 6 })
  })

  it('with half the cause for one that looks like it: 2, and 2 for the side', () => {
    const group = score([GAIN], [finding('arrows-differ', 'drive_side', null)])
    expect(group).toMatchObject({ points: 4, findings: [{ cause: false, group: true, side: true }] })
  })

  it('with one off for each that was not there, each unsafe try and each hint, never below nothing', () => {
    const found = finding('gain-one-side', 'drive_side', 'replace-cell')
    const extra = finding('mains-hum', null)
    expect(score([GAIN], [found, extra], { unsafe: 2, hints: 1 }).points).toBe(4)
    expect(score([GAIN], null, { unsafe: 9 }).points).toBe(0)
  })

  it('that nothing is wrong is an answer: 8 where it is true, and nothing where it is not', () => {
    expect(score([], [])).toMatchObject({ points: 8, most: 8, words: 'Nothing was wrong, and that was seen.' })
    expect(isFound(score([], []), [])).toBe(true)
    expect(score([GAIN], [])).toMatchObject({ points: 0 })
    // Given up is no answer.
    expect(score([], null)).toMatchObject({ points: 0 })
  })

  it('and says where a right name was luck: nothing that was done could tell it', () => {
    const lucky = score([GAIN], [finding('gain-one-side', 'drive_side')], { wasTold: () => false })
    expect(lucky.findings[0]).toMatchObject({ cause: true, untold: true })
    expect(lucky.findings[0]?.words).toContain('Nothing that was done could tell it')
  })

  it('two faults of one cause family are matched each with its own finding first', () => {
    const truth = [GAIN, fault('arrows-differ', 'operator_side')]
    const answer = [finding('arrows-differ', 'operator_side'), finding('gain-one-side', 'drive_side')]
    expect(score(truth, answer).findings.map(({ cause }) => cause)).toEqual([true, true])
  })

  it('within its bounds whatever is answered, and never better for one wrong finding more', () => {
    const side = fc.constantFrom('drive_side' as const, 'operator_side' as const, null)
    const findings = fc.array(
      fc.tuple(fc.constantFrom(...FAULT_IDS), side).map(([cause, of]) => finding(cause, of)),
      { maxLength: 3 },
    )
    const truths = fc.array(
      fc.constantFrom(...FAULT_IDS).map((id) => fault(id, 'drive_side')),
      { maxLength: 2 },
    )
    fc.assert(
      fc.property(truths, findings, (truth, answer) => {
        const told = score(truth, answer)
        expect(trainingScore.parse(told)).toEqual(told)
        expect(told.points).toBeLessThanOrEqual(told.most)
        const elsewhere = { ...finding('mains-hum', null), zone: 'another' }
        if (answer.length > 0) expect(score(truth, [...answer, elsewhere]).points).toBeLessThanOrEqual(told.points)
      }),
    )
  })
})
