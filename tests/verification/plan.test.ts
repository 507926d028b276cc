import { describe, expect, it } from 'vitest'
import type { VerificationContext } from '../../lib/verification/context.ts'
import { planOf } from '../../lib/verification/plan.ts'
import { type PlanTest, verificationPlan } from '../../shared/schemas/verification/plan.ts'
import { TEST_IDS, type TestId } from '../../shared/schemas/verification/test-ids.ts'
import { HALF_TURN } from '../geometry/configured.ts'
import { bareZone, cantilever, coater, halfTurn, winder } from './support/made-context.ts'

const ZONES: readonly (readonly [string, VerificationContext])[] = [
  ['two cells', halfTurn()],
  [
    'a live shaft in pillow blocks',
    halfTurn({ geometry: { ...HALF_TURN, roller_kind: 'live shaft', mount: 'pillow block' } }),
  ],
  ['one cell', cantilever()],
  ['a winding roll beside it', winder()],
  ['no geometry', bareZone()],
]
const testsOf = (context: VerificationContext): readonly PlanTest[] =>
  planOf(context).stages.flatMap(({ tests }) => tests)
const test = (context: VerificationContext, id: TestId): PlanTest => {
  const found = testsOf(context).find((one) => one.id === id)
  if (found === undefined) throw new Error(id)
  return found
}

describe.each(ZONES)('the plan of a zone with %s', (_, context) => {
  it('has the form that is published, and every test once, in the order of the stages', () => {
    const plan = planOf(context)
    expect(verificationPlan.parse(plan)).toEqual(plan)
    expect(testsOf(context).map(({ id }) => id)).toEqual(TEST_IDS)
    expect(testsOf(context).every(({ id, stage }) => id.startsWith(`${stage}.`))).toBe(true)
  })

  it('gives a reason wherever a test does not apply, and none where it does', () => {
    for (const { applies, reason } of testsOf(context))
      expect(applies ? reason === null : (reason ?? '').length > 10).toBe(true)
  })

  it('has fields and captures of their own name within a test, and asks for something unless it is worked out', () => {
    for (const { id, fields, captures, automatic } of testsOf(context)) {
      const names = [...fields, ...captures].map((one) => one.id)
      expect(new Set(names).size, id).toBe(names.length)
      expect(names.length === 0, id).toBe(automatic)
    }
  })

  it('asks each side that there is, and no other', () => {
    for (const { id, fields, captures } of testsOf(context))
      for (const { side } of [...fields, ...captures]) if (side !== null) expect(context.sides, id).toContain(side)
  })

  it('says of every limit where it comes from, and of every stage what state the machine must be in', () => {
    const plan = planOf(context)
    for (const { limits } of testsOf(context))
      for (const { text, source } of limits) expect([text.length > 0, source.length > 3]).toEqual([true, true])
    for (const { machine, caution } of plan.stages)
      expect([machine.length, caution.length].every((n) => n > 10)).toBe(true)
  })
})

describe('what applies', () => {
  const without = (context: VerificationContext) => testsOf(context).flatMap(({ id, applies }) => (applies ? [] : [id]))

  it('one cell: nothing that compares two sides', () => {
    expect(without(cantilever())).toEqual(
      expect.arrayContaining([
        'paper.growth',
        'fit.end-clearance',
        'electric.cross-swap',
        'known-weight.off-centre',
        'running.step',
      ]),
    )
    expect(test(cantilever(), 'electric.push').captures.map(({ id }) => id)).toEqual(['push.single'])
  })

  it('no geometry: nothing that needs an expected force; the arrows are still compared with one another', () => {
    expect(without(bareZone())).toEqual(
      expect.arrayContaining([
        'electric.gravity',
        'known-weight.series',
        'known-weight.two-directions',
        'running.lines',
      ]),
    )
    expect(without(bareZone())).not.toContain('fit.arrow-angle')
    expect(planOf(bareZone())).toMatchObject({ resultant: null, arrowTarget: null })
  })

  it('a pillow block has no bushing to look at', () => {
    expect(without(ZONES[1]?.[1] ?? halfTurn())).toContain('fit.bushing')
    expect(without(halfTurn())).not.toContain('fit.bushing')
  })

  it('core and full roll only where a neighbour moves', () => {
    expect(without(halfTurn())).toContain('running.neighbour')
    expect(without(winder())).not.toContain('running.neighbour')
  })

  it('speed and set tension are asked for with the capture only where no channel tells them', () => {
    const asked = (context: VerificationContext) =>
      test(context, 'running.points').captures[0]?.fields.map(({ id }) => id)
    expect(asked(halfTurn())).toEqual([])
    expect(asked(halfTurn({ speed: undefined, reference: undefined }))).toEqual(['speed', 'tension'])
    expect(asked(winder({ neighbour: undefined }))).toEqual(['neighbour'])
  })

  it('half a turn with a belt over a pulley pulls straight down, and that is the angle to set', () => {
    const { resultant, arrowTarget } = planOf(halfTurn())
    expect(resultant).toBeCloseTo(-Math.PI / 2, 6)
    expect(arrowTarget?.words).toBe('vertical, pointing down')
  })

  it('a limit of the zone’s own stands in the plan with its own source', () => {
    const limit = { value: 1, source: 'site standard' }
    const { limits } = test(coater({ verification: { arrow_deg: limit } }), 'fit.arrow-angle')
    expect(limits[0]).toEqual({ text: 'Each arrow off its target: ±1°', source: 'site standard' })
  })
})
