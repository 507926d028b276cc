import { describe, expect, it } from 'vitest'
import type { Capture } from '../../shared/schemas/verification/capture.ts'
import { cantilever, DEAD, figure, halfTurn, rightAngle, withSide } from './support/made-context.ts'
import { captured, judged } from './support/made-record.ts'

const context = halfTurn()
const SIDES = ['drive_side', 'operator_side'] as const
/**
 * Half a turn of rope over the roller: W (cos α + cos β)/2 on each arrow, less the buoyancy of steel in air. A rope of 4 mm
 * runs 2 mm outside the rollers, so that its ends tilt: by asin(204/1020) − asin(200/1020) and asin(204/361) − asin(200/361).
 */
const tilt = (apart: number): number => Math.asin(204 / apart) - Math.asin(200 / apart)
const PER_KG =
  (9.80665 * (1 - 1.5e-4) * (Math.cos(tilt(Math.hypot(200, 1000))) + Math.cos(tilt(Math.hypot(200, 300))))) / 2
const MASSES = [0, 5, 10, 15, 20] as const

interface Spoilt {
  readonly gain?: Readonly<Partial<Record<(typeof SIDES)[number], number>>>
  readonly zero?: Readonly<Partial<Record<(typeof SIDES)[number], number>>>
  /** Added to what each side shows, N. */
  readonly add?: (mass: number, direction: 'up' | 'down', cycle: number) => number
}

/** Five weights up and down, three cycles, on cells that are otherwise right. */
function series({ gain = {}, zero = {}, add = () => 0 }: Spoilt = {}, cycles = 3): Capture[] {
  const at = (mass: number, direction: 'up' | 'down', cycle: number) => {
    const side = (name: (typeof SIDES)[number]) => ({
      force: (gain[name] ?? 1) * (mass * PER_KG + add(mass, direction, cycle)) + (zero[name] ?? 0),
      u: 0.02,
    })
    const both = { drive_side: side('drive_side'), operator_side: side('operator_side') }
    return captured(context, 'point', both, { values: { mass, direction, cycle } })
  }
  return Array.from({ length: cycles }, (_, i) => i + 1).flatMap((cycle) => [
    ...MASSES.map((mass) => at(mass, 'up', cycle)),
    ...MASSES.toReversed().map((mass) => at(mass, 'down', cycle)),
  ])
}
const judge = (captures: readonly Capture[]) => judged(context, 'known-weight.series', {}, captures)

describe('known weights, centred', () => {
  it('right cells: gain as expected, straight, both ways alike, every time', () => {
    const result = judge(series())
    for (const side of SIDES) {
      expect(figure(result, 'gain', side).value).toBeCloseTo(250, 2)
      expect(figure(result, 'gain-error', side).value).toBeCloseTo(0, 3)
      // Config 0.5 %; share of the rope 0.002 of a half, local g 0.05 %, mass 0.05 %, wrap and arrow next to nothing at half a turn.
      expect(figure(result, 'gain-error', side).u).toBeCloseTo(Math.hypot(0.5, 0.4, 0.05, 0.05), 2)
    }
    expect(result.state).toBe('inside')
  })

  // U of the gain 1.3 %, limit 2 %; a cell that shows r times its load has N per mV/V that are 1/r of what is expected.
  it.each([
    [1.005, 'inside'],
    [1.015, 'undecided'],
    [1.04, 'outside'],
  ])('a drive side that shows %f of its load is %s, and the other side stays right', (r, state) => {
    const result = judge(series({ gain: { drive_side: r } }))
    expect(figure(result, 'gain-error', 'drive_side').value).toBeCloseTo(100 * (1 / r - 1), 3)
    expect(figure(result, 'gain-error', 'drive_side').verdict.state).toBe(state)
    expect(figure(result, 'gain-error', 'operator_side').verdict.state).toBe('inside')
  })

  it('a loop of 2 N at half load is hysteresis of 1 % of the 200 N of span, and no gain', () => {
    const result = judge(series({ add: (mass, way) => (way === 'down' ? 2 * Math.sin((Math.PI * mass) / 20) : 0) }))
    expect(figure(result, 'hysteresis', 'drive_side').value).toBeCloseTo(1, 3)
    expect(figure(result, 'hysteresis', 'drive_side').verdict.state).toBe('outside')
    expect(figure(result, 'gain-error', 'drive_side').verdict.state).toBe('inside')
    expect(result.hints.join(' ')).toContain('free play')
  })

  it('a bow of 2 N in the middle is nonlinearity', () => {
    const result = judge(series({ add: (mass) => 2 * Math.sin((Math.PI * mass) / 20) }))
    expect(figure(result, 'nonlinearity', 'drive_side').verdict.state).toBe('outside')
    expect(figure(result, 'hysteresis', 'drive_side').value).toBeCloseTo(0, 6)
  })

  it('a zero that comes back 1 N higher is zero return of 0.5 % of span', () => {
    const result = judge(series({ add: (mass, way) => (mass === 0 && way === 'down' ? 1 : 0) }))
    expect(figure(result, 'zero-return', 'drive_side').value).toBeCloseTo(0.5, 2)
    expect(figure(result, 'zero-return', 'drive_side').verdict.state).toBe('outside')
  })

  it('repeats as a weighing handbook counts it: 1 in 5000 between the highest and the lowest is 0.02 %', () => {
    // "Weighing System Performance", general considerations of a weighing manual, 12/99, p. 3-7: 2500 and 2501 lb on a
    // scale of 5000 lb (V2, from a stored excerpt). Here 0.04 N on a span of 200 N.
    const result = judge(series({ add: (mass, way, cycle) => (mass === 10 && way === 'up' && cycle === 2 ? 0.04 : 0) }))
    expect(figure(result, 'repeatability', 'drive_side').value).toBeCloseTo(0.02, 6)
  })

  it('one way only, or one cycle, is never inside: what was not read is named', () => {
    const up = series().filter(({ values }) => values.direction === 'up')
    expect(judge(up).state).toBe('not-done')
    expect(judge(up).sentence).toMatch(/hysteresis|both up and down/i)
    expect(judge(series({}, 1)).state).not.toBe('inside')
    expect(judge([])).toMatchObject({ state: 'not-done' })
    expect(judge(series().map((capture) => ({ ...capture, values: {} }))).state).toBe('not-done')
  })

  it('a side without good samples is never inside', () => {
    expect(judge(series().map((capture) => withSide(capture, 'operator_side', DEAD))).state).not.toBe('inside')
  })

  it('the side difference is the weight’s alone: zeros of either side cancel', () => {
    const zero = { drive_side: 8, operator_side: -5 }
    const imbalance = (r: number) => figure(judge(series({ gain: { drive_side: r }, zero })), 'weight-imbalance')
    // (1 − r)/(1 + r)
    expect(imbalance(1).value).toBeCloseTo(0, 9)
    expect(imbalance(1.04).value).toBeCloseTo((100 * -0.04) / 2.04, 9)
    // Gains 0.25 % each, share of the rope twice 0.002. The least weight 98 N, the readings without: 0.02 N.
    expect(imbalance(1).u).toBeCloseTo(Math.hypot(0.25, 0.25, 0.4), 2)
    expect([1.04, 1.12, 1.16].map((r) => imbalance(r).verdict.state)).toEqual(['inside', 'undecided', 'outside'])
  })

  it('without a reading without weight no side difference is told', () => {
    const loaded = series().filter(({ values }) => values.mass !== 0)
    expect(figure(judge(loaded), 'weight-imbalance')).toMatchObject({ value: null, verdict: { state: 'unknown' } })
  })

  it('one cell takes all of the rope: 2 m g', () => {
    const one = cantilever()
    const captures = [1, 2, 3].flatMap((cycle) =>
      (['up', 'down'] as const).flatMap((direction) =>
        MASSES.map((mass) =>
          captured(
            one,
            'point',
            { single: { force: 2 * mass * PER_KG, u: 0.02 } },
            { values: { mass, direction, cycle } },
          ),
        ),
      ),
    )
    const result = judged(one, 'known-weight.series', {}, captures)
    expect(figure(result, 'gain', 'single').value).toBeCloseTo(250, 2)
    expect(result.figures.some(({ id }) => id === 'weight-imbalance')).toBe(false)
    expect(result.state).toBe('inside')
  })
})

/** 10 kg at some places across the roller, mm; F is 2 × 98.05 N, L 1.6 m. */
function across(
  places: readonly number[],
  spoil: (force: { drive: number; operator: number }) => typeof force = (f) => f,
) {
  const captures = places.map((position) => {
    const share = 0.5 + position / 1600
    const force = spoil({ drive: 20 * PER_KG * (1 - share), operator: 20 * PER_KG * share })
    return captured(
      context,
      'place',
      { drive_side: { force: force.drive, u: 0.02 }, operator_side: { force: force.operator, u: 0.02 } },
      { values: { position } },
    )
  })
  return judged(context, 'known-weight.off-centre', { mass: 10 }, captures)
}

describe('the same weight off centre', () => {
  it('the sum stays and the difference moves by 2F/L', () => {
    const result = across([-400, 0, 400])
    expect(figure(result, 'difference-slope').value).toBeCloseTo(1, 4)
    expect(figure(result, 'sum-change').value).toBeCloseTo(0, 9)
    expect(result.state).toBe('inside')
  })

  it('sides exchanged turn the difference round, and leave the sum', () => {
    const result = across([-400, 0, 400], ({ drive, operator }) => ({ drive: operator, operator: drive }))
    expect(figure(result, 'difference-slope').value).toBeCloseTo(-1, 4)
    expect(figure(result, 'sum-change').value).toBeCloseTo(0, 9)
    expect(result).toMatchObject({ state: 'outside' })
    expect(result.hints.join(' ')).toContain('swapped')
  })

  it('a gain of one side that is 4 % off moves the sum: from 0.25 F and 0.75 F it makes 2 % between the ends', () => {
    const result = across([-400, 0, 400], ({ drive, operator }) => ({ drive: 1.04 * drive, operator }))
    // Sums 1.03 F, 1.02 F, 1.01 F.
    expect(figure(result, 'sum-change').value).toBeCloseTo((100 * -0.02) / 1.02, 6)
    expect(figure(result, 'sum-change').verdict.state).toBe('outside')
  })

  it('three places that scatter are known by one degree of freedom: t₉₅(1) is 12.7, not 2', () => {
    const result = across([-400, 0, 400], ({ drive, operator }) => ({
      drive: drive + (Math.abs(drive - operator) < 1 ? 0.5 : 0),
      operator,
    }))
    expect(figure(result, 'sum-change').k).toBeCloseTo(12.706, 2)
    expect(figure(result, 'sum-change').verdict.state).toBe('undecided')
  })

  it('two places, no weight told or a dead side are not done', () => {
    expect(across([-400, 400]).state).toBe('not-done')
    const captures = [-400, 0, 400].map((position) =>
      captured(context, 'place', { drive_side: { force: 98 }, operator_side: { force: 98 } }, { values: { position } }),
    )
    expect(judged(context, 'known-weight.off-centre', {}, captures).state).toBe('not-done')
    const dead = captures.map((capture) => withSide(capture, 'drive_side', DEAD))
    expect(judged(context, 'known-weight.off-centre', { mass: 10 }, dead).state).toBe('not-done')
  })
})

/**
 * Ropes on a roller whose arrows stand at −135°: one level to straight down, one straight up to straight down. Each side
 * shows W a·(u_out − u_in)/2 of a weight of 200 N, times its gain, over its zero.
 */
function ropes(deg: number, { gain = 1, zero = 0, second = [90, -90] as readonly [number, number] } = {}) {
  const at = rightAngle()
  const unit = (angle: number) => [Math.cos((angle * Math.PI) / 180), Math.sin((angle * Math.PI) / 180)] as const
  const capture = (id: string, rope: readonly [number, number] | null) => {
    const [arrow, [inX, inY], [outX, outY]] = [unit(-135 + deg), unit(rope?.[0] ?? 0), unit(rope?.[1] ?? 0)]
    const force = zero + gain * 100 * (arrow[0] * (outX - inX) + arrow[1] * (outY - inY))
    const values = rope === null ? {} : { arriving: rope[0], leaving: rope[1] }
    return captured(at, id, { drive_side: { force, u: 0.02 }, operator_side: { force, u: 0.02 } }, { values })
  }
  return judged(at, 'known-weight.two-directions', {}, [
    capture('bare', null),
    capture('first', [0, -90]),
    capture('second', second),
  ])
}

describe('an arrow from two rope directions', () => {
  it.each([-12, -5, 0, 5, 12])('%i° off its target is found, whatever gain and zero are', (deg) => {
    for (const spoilt of [{}, { gain: 0.7 }, { zero: 30 }, { gain: 1.3, zero: -20 }]) {
      const arrow = figure(ropes(deg, spoilt), 'arrow-from-rope', 'drive_side')
      expect(arrow.value).toBeCloseTo(deg, 6)
      expect(arrow.verdict.state).toBe(deg === 0 ? 'inside' : 'outside')
    }
  })

  it('a cell wired the other way round is half a turn off', () => {
    expect(Math.abs(figure(ropes(0, { gain: -1 }), 'arrow-from-rope', 'drive_side').value ?? 0)).toBeCloseTo(180, 6)
  })

  it('ropes that pull alike tell nothing: unknown, with the reason', () => {
    const result = ropes(0, { second: [3, -93] })
    expect(result.state).toBe('unknown')
    expect(result.sentence).toContain('same line')
  })
})
