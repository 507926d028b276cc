import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { measured } from '../../lib/verification/figure.ts'
import { judgeTest } from '../../lib/verification/judge-test.ts'
import { planOf } from '../../lib/verification/plan.ts'
import type { Capture } from '../../shared/schemas/verification/capture.ts'
import type { PlanCapture, PlanField, PlanTest } from '../../shared/schemas/verification/plan.ts'
import { testResult } from '../../shared/schemas/verification/result.ts'
import type { TestValues } from '../../shared/schemas/verification.ts'
import { HALF_TURN, roller } from '../geometry/configured.ts'
import { bareZone, cantilever, coater, DEAD, halfTurn, winder, withSide } from './support/made-context.ts'
import { captured } from './support/made-record.ts'

/** Its rollers overlap: no web can run so. */
const impossible = halfTurn({
  geometry: {
    ...HALF_TURN,
    rollers: { ...HALF_TURN.rollers, after: [roller('pull roller', 50, 0, 'counter-clockwise')] },
  },
})
const untyped = winder({ neighbour: undefined, speed: undefined, reference: undefined })
const CONTEXTS = [halfTurn(), cantilever(), coater(), winder(), untyped, impossible, bareZone()]
const tests = CONTEXTS.flatMap((context) =>
  planOf(context).stages.flatMap((stage) => stage.tests.map((test) => ({ context, test }))),
)
const asking = tests.filter(({ test }) => test.applies && !test.automatic)

const nonsense = fc.oneof(fc.double(), fc.string({ maxLength: 8 }), fc.boolean())
/** Something that could be typed into a field; often what it asks for. */
function answer({ kind, choices }: PlanField): fc.Arbitrary<number | string | boolean> {
  switch (kind) {
    case 'number':
      return fc.oneof(fc.double({ min: -5, max: 400, noNaN: true }), nonsense)
    case 'yes-no':
      return fc.oneof(fc.constant(true), nonsense)
    case 'choice':
      return fc.oneof(fc.constantFrom(...(choices ?? []).map(({ value }) => value)), nonsense)
    case 'text':
      return fc.string({ maxLength: 20 })
  }
}
const answers = (fields: readonly PlanField[]): fc.Arbitrary<TestValues> =>
  fc.record(Object.fromEntries(fields.map((field) => [field.id, answer(field)])))

type Context = (typeof CONTEXTS)[number]
const number = fc.double({ min: -300, max: 300, noNaN: true })
const positive = fc.double({ min: 1e-4, max: 5, noNaN: true })

/** A capture as long as the plan asks for, with any forces. */
function capture(context: Context, plan: PlanCapture): fc.Arbitrary<Capture> {
  const told = fc.option(fc.record({ value: fc.double({ min: 0.1, max: 300, noNaN: true }), u: positive }))
  const change = fc.option(
    fc.record({ by: fc.record({ value: number, u: positive }), atS: positive, riseS: fc.option(positive) }),
  )
  return fc
    .record({
      values: answers(plan.fields),
      forces: fc.tuple(number, number),
      u: positive,
      noise: positive,
      told: fc.tuple(told, told, told, told),
      changes: fc.tuple(change, change),
    })
    .map(({ values, forces, u, noise, told: [speed, reference, temperature, neighbour], changes }) => {
      const sides = Object.fromEntries(context.sides.map((side, i) => [side, { force: forces[i] ?? 0, u, noise }]))
      const made = captured(context, plan.id, sides, {
        values,
        speed,
        reference,
        temperature,
        neighbour,
        change: Object.fromEntries(context.sides.map((side, i) => [side, changes[i] ?? null])),
      })
      return { ...made, toMs: made.fromMs + plan.seconds * 1000, trace: { t: [], sides: {} } }
    })
}

const capturesOf = (context: Context, { captures }: PlanTest): fc.Arbitrary<Capture[]> =>
  fc
    .tuple(
      ...captures.map((plan) => fc.array(capture(context, plan), { minLength: plan.times, maxLength: plan.times + 1 })),
    )
    .map((groups) => groups.flat())

const judge = (context: Context, test: PlanTest, values: TestValues, captures: readonly Capture[]) =>
  judgeTest(context, test.id, { phase: 'as-left', values, captures, earlier: [], shift: null })

const RUNS = { numRuns: 20 }

describe('whatever is typed and captured', () => {
  it.each(asking.map(({ context, test }) => [`${test.id}, zone of ${context.sides.length}`, context, test] as const))(
    '%s: the result has its published form; a number that is told bears its unit, uncertainty and source',
    (_, context, test) => {
      fc.assert(
        fc.property(answers(test.fields), capturesOf(context, test), (values, captures) => {
          const result = judge(context, test, values, captures)
          expect(testResult.safeParse(JSON.parse(JSON.stringify(result))).error).toBeUndefined()
          expect(result.sentence.length).toBeGreaterThan(5)
          for (const { id, value, u, answer: said, verdict, why } of result.figures) {
            if (value === null && said === null) expect(verdict.state, id).not.toBe('inside')
            if (value !== null) expect(u, id).toBeGreaterThanOrEqual(0)
            expect([why.formula.length > 2, verdict.sentence.length > 2], id).toEqual([true, true])
          }
          const keys = result.figures.map(({ id, side, point }) => `${id} ${side} ${point}`)
          // Points are named by their speed and tension: those that were made alike are one.
          if (!test.id.startsWith('running.')) expect(new Set(keys).size).toBe(keys.length)
        }),
        RUNS,
      )
    },
  )

  it('nothing at all is never inside', () => {
    for (const { context, test } of asking) expect(judge(context, test, {}, []).state, test.id).toBe('not-done')
  })

  it.each(asking.map(({ context, test }) => [`${test.id}, zone of ${context.sides.length}`, context, test] as const))(
    '%s: with any one required thing missing it is not inside',
    (_, context, test) => {
      fc.assert(
        fc.property(answers(test.fields), capturesOf(context, test), (values, captures) => {
          for (const { id, required } of test.fields) {
            const { [id]: left, ...rest } = values
            if (required && left !== undefined) expect(judge(context, test, rest, captures).state).not.toBe('inside')
          }
          for (const { id, required } of test.captures) {
            const rest = captures.filter((one) => one.capture !== id)
            if (required) expect(judge(context, test, values, rest).state).not.toBe('inside')
          }
        }),
        { numRuns: 8 },
      )
    },
  )

  it.each(
    asking
      .filter(({ test }) => test.captures.length > 0)
      .map(({ context, test }) => [`${test.id}, zone of ${context.sides.length}`, context, test] as const),
  )('%s: a side that gave nothing good is never inside', (_, context, test) => {
    fc.assert(
      fc.property(answers(test.fields), capturesOf(context, test), (values, captures) => {
        for (const side of context.sides) {
          const dead = captures.map((one) => withSide({ ...one, change: { ...one.change, [side]: null } }, side, DEAD))
          expect(judge(context, test, values, dead).state).not.toBe('inside')
        }
      }),
      { numRuns: 8 },
    )
  })
})

describe('the rule of a figure', () => {
  const end = fc.option(fc.double({ min: -100, max: 100, noNaN: true }))
  const limits = fc.tuple(end, end).map(([a, b]) => {
    const [low, high] = a !== null && b !== null && a > b ? [b, a] : [a, b]
    return { low, high, text: 'made', source: 'made' }
  })
  const stateOf = (
    value: number,
    u: number,
    limit: { low: number | null; high: number | null; text: string; source: string },
  ) =>
    measured({ id: 'x', title: 'X', value, unit: 'N', uRandom: u, limit, formula: 'made', source: 'made' }).verdict
      .state

  it('a larger uncertainty never turns outside into inside, nor inside into outside', () => {
    fc.assert(
      fc.property(number, positive, positive, limits, (value, u, more, limit) => {
        const [before, after] = [stateOf(value, u, limit), stateOf(value, u + more, limit)]
        if (before === 'outside') expect(after).not.toBe('inside')
        if (before === 'inside') expect(after).not.toBe('outside')
        if (before === 'undecided') expect(after).toBe('undecided')
      }),
    )
  })

  it('mirrored about nothing the verdict stays', () => {
    fc.assert(
      fc.property(number, positive, limits, (value, u, limit) => {
        const mirrored = {
          ...limit,
          low: limit.high === null ? null : -limit.high,
          high: limit.low === null ? null : -limit.low,
        }
        expect(stateOf(-value, u, mirrored)).toBe(stateOf(value, u, limit))
      }),
    )
  })

  it('a value that is not finite is unknown', () => {
    expect(
      [Number.NaN, Number.POSITIVE_INFINITY].map((value) =>
        stateOf(value, 1, { low: 0, high: 1, text: '', source: '' }),
      ),
    ).toEqual(['unknown', 'unknown'])
  })
})
