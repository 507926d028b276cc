import { describe, expect, it } from 'vitest'
import type { TestValues } from '../../shared/schemas/verification.ts'
import { HALF_TURN } from '../geometry/configured.ts'
import { bareZone, cantilever, figure, halfTurn } from './support/made-context.ts'
import { judged } from './support/made-record.ts'

const context = halfTurn()
/** Both arrows by inclinometer; the target of half a turn is straight down. */
const arrows = (drive: readonly [number, string], operator: readonly [number, string], pointing = 'down'): TestValues =>
  Object.fromEntries(
    [['drive_side', drive] as const, ['operator_side', operator] as const].flatMap(([side, [deg, leaning]]) => [
      [`deg.${side}`, deg],
      [`pointing.${side}`, pointing],
      [`leaning.${side}`, leaning],
    ]),
  )

describe('the angle of both arrows', () => {
  // u 0.2°, U 0.4°, limit ±2°.
  it.each([
    [1.5, 'inside'],
    [2, 'undecided'],
    [2.5, 'outside'],
  ])('%f° off is %s, downstream positive and upstream negative', (deg, state) => {
    for (const [leaning, sign] of [
      ['downstream', 1],
      ['upstream', -1],
    ] as const) {
      const result = judged(context, 'fit.arrow-angle', arrows([deg, leaning], [deg, leaning]))
      expect(figure(result, 'arrow-error', 'drive_side').value).toBeCloseTo(sign * deg, 9)
      expect(figure(result, 'arrow-error', 'drive_side').U).toBeCloseTo(0.4, 2)
      expect(result.state).toBe(state)
    }
  })

  it('undecided names the inclinometer, since no time will settle it', () => {
    const { verdict } = figure(
      judged(context, 'fit.arrow-angle', arrows([2, 'upstream'], [2, 'upstream'])),
      'arrow-error',
      'drive_side',
    )
    expect(verdict.reason).toEqual({ kind: 'no-time-will-settle', input: 'inclinometer' })
  })

  it('both inside and yet too far from one another: the operator side less the drive side, u of both', () => {
    const result = judged(context, 'fit.arrow-angle', arrows([1.5, 'downstream'], [1.5, 'upstream']))
    expect(figure(result, 'arrow-difference')).toMatchObject({ verdict: { state: 'outside' } })
    expect(figure(result, 'arrow-difference').value).toBeCloseTo(-3, 9)
    expect(figure(result, 'arrow-difference').u).toBeCloseTo(0.2 * Math.SQRT2, 9)
    expect(figure(result, 'arrow-error', 'drive_side').verdict.state).toBe('inside')
    expect(result.state).toBe('outside')
  })

  it('half a turn off says that the side will fall, and how the arrow should stand', () => {
    const result = judged(context, 'fit.arrow-angle', {
      ...arrows([0, 'neither'], [0, 'neither']),
      'pointing.operator_side': 'up',
    })
    expect(Math.abs(figure(result, 'arrow-error', 'operator_side').value ?? 0)).toBeCloseTo(180, 6)
    expect(result.hints.join(' ')).toMatch(/pointing down.*falls when the web pulls/)
  })

  it('a better inclinometer decides what a usual one could not', () => {
    const values = arrows([1.8, 'upstream'], [1.8, 'upstream'])
    expect(judged(context, 'fit.arrow-angle', values).state).toBe('undecided')
    expect(judged(context, 'fit.arrow-angle', { ...values, u: 0.05 }).state).toBe('inside')
  })

  it('one side unread is unknown; words that contradict one another are none', () => {
    const { 'deg.drive_side': _, ...half } = arrows([0.5, 'upstream'], [0.5, 'upstream'])
    expect(judged(context, 'fit.arrow-angle', half).state).toBe('unknown')
    expect(judged(context, 'fit.arrow-angle', arrows([0, 'neither'], [0, 'neither'], 'level')).state).toBe('not-done')
    expect(judged(context, 'fit.arrow-angle').state).toBe('not-done')
  })

  it('without geometry the sides are compared, and the target is unknown', () => {
    const result = judged(bareZone(), 'fit.arrow-angle', arrows([20, 'upstream'], [20.5, 'upstream']))
    expect(figure(result, 'arrow-difference').verdict.state).toBe('inside')
    expect(figure(result, 'arrow-error', 'drive_side').verdict.state).toBe('unknown')
    expect(result.state).toBe('unknown')
  })

  it('one cell has no other arrow to stand alike with', () => {
    const result = judged(cantilever(), 'fit.arrow-angle', {
      'deg.single': 1,
      'pointing.single': 'down',
      'leaning.single': 'upstream',
    })
    expect(result.figures.map(({ id }) => id)).toEqual(['arrow-error'])
    expect(result.state).toBe('inside')
  })
})

describe('end clearance', () => {
  const clearance = (drive: number, operator: number): TestValues => ({
    'clearance.drive_side': drive,
    'clearance.operator_side': operator,
  })
  // 1.5 to 3 mm, u 0.05 mm, U 0.1 mm.
  it.each([
    [1.39, 'outside'],
    [1.55, 'undecided'],
    [1.61, 'inside'],
    [2.89, 'inside'],
    [2.95, 'undecided'],
    [3.11, 'outside'],
  ])('%f mm is %s', (mm, state) => {
    expect(judged(context, 'fit.end-clearance', clearance(2, mm)).state).toBe(state)
  })

  const fit = {
    clearance_mm: 2,
    shaft_expansion_per_k: 10.8e-6,
    frame_expansion_per_k: 10.8e-6,
    shaft_warming_k: 40,
    frame_warming_k: 0,
  }
  const warm = (shared: boolean, shaft = fit.shaft_expansion_per_k) =>
    halfTurn({
      cell_distance_m: 1.5,
      geometry: { ...HALF_TURN, fit: { ...fit, shared, shaft_expansion_per_k: shaft } },
    })

  it('leaves when warm what the shaft does not grow: 0.65 mm of 1.5 m of carbon steel at 40 K, 1.39 mm of aluminium', () => {
    // Expansion per kelvin from engineering tables: 10.8e-6 and 23.1e-6 (V2).
    const margin = (shaft: number) =>
      figure(judged(warm(false, shaft), 'fit.end-clearance', clearance(2, 2.4)), 'growth-margin')
    expect(margin(10.8e-6).value).toBeCloseTo(2 - 0.648, 9)
    expect(margin(23.1e-6).value).toBeCloseTo(2 - 1.386, 9)
    // 3 K of warming nobody knows better, on both, beside the feeler gauge.
    expect(margin(10.8e-6).u).toBeCloseTo(Math.hypot(0.05, 1500 * Math.hypot(10.8e-6, 10.8e-6) * 3), 9)
  })

  it('takes half of the growth from the smaller end where both share it, never the sum of both gaps', () => {
    const result = judged(warm(true), 'fit.end-clearance', clearance(0.2, 2.4))
    expect(figure(result, 'growth-margin').value).toBeCloseTo(0.2 - 0.324, 9)
  })

  it('closed when warm is outside, whatever it is cold', () => {
    const result = judged(warm(false), 'fit.end-clearance', clearance(0.3, 2))
    expect(figure(result, 'growth-margin').verdict.state).toBe('outside')
  })

  it('one side alone is not done, and says which is missing', () => {
    const result = judged(context, 'fit.end-clearance', { 'clearance.drive_side': 2 })
    expect(result).toMatchObject({ state: 'not-done', sentence: 'Not done: missing: clearance, operator side.' })
  })
})

describe('what is measured by hand', () => {
  it.each([
    ['fit.runout', { runout: 0.039 }, 'inside'],
    ['fit.runout', { runout: 0.045 }, 'undecided'],
    ['fit.runout', { runout: 0.061 }, 'outside'],
    ['fit.runout', { runout: -0.01 }, 'not-done'],
    ['fit.level', { level: -0.13, parallel: 0.1 }, 'inside'],
    ['fit.level', { level: -0.17, parallel: 0.1 }, 'undecided'],
    ['fit.level', { level: -0.27, parallel: 0.1 }, 'outside'],
    ['fit.spin-down', { seconds: 40, free: true }, 'inside'],
    ['fit.spin-down', { seconds: 3, free: false }, 'outside'],
    ['fit.spin-down', { seconds: 40 }, 'not-done'],
  ] as const)('%s with %o is %s', (test, values, state) => {
    expect(judged(context, test, values).state).toBe(state)
  })

  it('a limit of the zone’s own decides, and stands beside the figure with its source', () => {
    const strict = halfTurn({ verification: { runout_mm: { value: 0.02, source: 'maker of the roller' } } })
    const { limit, verdict } = figure(judged(strict, 'fit.runout', { runout: 0.039 }), 'runout')
    expect([limit?.high, limit?.source, verdict.state]).toEqual([0.02, 'maker of the roller', 'outside'])
  })
})

describe('what is looked at', () => {
  const LOOKED_AT = {
    'fit.free-play': ['free-play.drive_side', 'free-play.operator_side'],
    'fit.bushing': [
      'bushing-flush.drive_side',
      'bushing-flush.operator_side',
      'bushing-split.drive_side',
      'bushing-split.operator_side',
    ],
    'fit.clamps': ['clamps-crosswise.drive_side', 'clamps-crosswise.operator_side', 'weight-held'],
    'fit.bolts': ['bolts-tight.drive_side', 'bolts-tight.operator_side'],
    'fit.nothing-touches': ['nothing-touches'],
    'fit.cables': ['cables-seated.drive_side', 'cables-seated.operator_side'],
  } as const
  const yes = (fields: readonly string[]): Record<string, boolean> => Object.fromEntries(fields.map((id) => [id, true]))

  it.each(Object.entries(LOOKED_AT) as [keyof typeof LOOKED_AT, readonly string[]][])(
    '%s: all yes is inside, one no is outside with a hint, one unanswered is not done',
    (test, fields) => {
      expect(judged(context, test, yes(fields)).state).toBe('inside')
      for (const one of fields) {
        const no = judged(context, test, { ...yes(fields), [one]: false })
        expect([no.state, no.hints.length > 0]).toEqual(['outside', true])
        const { [one]: _, ...rest } = yes(fields)
        expect(judged(context, test, rest).state).toBe('not-done')
      }
    },
  )

  it('a word is no answer to yes or no', () => {
    expect(judged(context, 'fit.nothing-touches', { 'nothing-touches': 'yes' }).state).toBe('not-done')
  })
})
