import { describe, expect, it } from 'vitest'
import type { VerificationContext } from '../../lib/verification/context.ts'
import type { Capture } from '../../shared/schemas/verification/capture.ts'
import type { ZoneInput } from '../geometry/configured.ts'
import { bareZone, cantilever, DEAD, figure, halfTurn, rightAngle, withSide } from './support/made-context.ts'
import { both, context, GRID, judge, MASS, points, pull, SIDES } from './support/made-points.ts'
import { captured, judged } from './support/made-record.ts'

describe('two speeds at two tensions', () => {
  it('a right install agrees everywhere, and nothing is left over the points', () => {
    const result = judge(points())
    expect(result.state).toBe('inside')
    for (const side of SIDES) {
      expect(figure(result, 'offset', side).value).toBeCloseTo(0, 6)
      expect(figure(result, 'slope-error', side).value).toBeCloseTo(0, 6)
    }
    expect(figure(result, 'speed-effect').value).toBeCloseTo(0, 6)
    expect(figure(result, 'slope-imbalance').value).toBeCloseTo(0, 6)
    expect(result.figures.filter(({ id }) => id === 'agreement-total')).toHaveLength(4)
  })

  // Reference 1 %, gain 0.5 %, line of pull 5 mm of 1.6 m: 0.6 % of a side; zero 0.5 N.
  it.each([
    [1.01, 'inside'],
    [1.05, 'undecided'],
    [1.09, 'outside'],
  ])('both sides %f of what is expected are %s, and it is a share at every point', (r, state) => {
    const result = judge(points((right) => both(r * right)))
    const [first] = result.figures.filter(({ id }) => id === 'agreement')
    expect(first?.value).toBeCloseTo(100 * (r - 1), 6)
    expect(first?.u).toBeCloseTo(Math.hypot(1, 0.625, 0.5 * r, 0.5), 1)
    expect(figure(result, 'slope-error', 'drive_side').value).toBeCloseTo(100 * (r - 1), 6)
    expect(figure(result, 'offset', 'drive_side').value).toBeCloseTo(0, 6)
    expect(figure(result, 'slope-imbalance').value).toBeCloseTo(0, 6)
    expect(result.state).toBe(state)
  })

  it('the sum is known better than a side: where the web runs does not matter to it', () => {
    const result = judge(points())
    const [side] = result.figures.filter(({ id }) => id === 'agreement')
    const [total] = result.figures.filter(({ id }) => id === 'agreement-total')
    expect(total?.u ?? 1).toBeLessThan(side?.u ?? 0)
  })

  it('a zero that was not taken is an offset of that side in newtons, not a share', () => {
    const result = judge(points((right) => ({ drive_side: right + 5 })))
    expect(figure(result, 'offset', 'drive_side').value).toBeCloseTo(5, 6)
    expect(figure(result, 'slope-error', 'drive_side').value).toBeCloseTo(0, 6)
    expect(figure(result, 'offset', 'operator_side').value).toBeCloseTo(0, 6)
    expect(figure(result, 'offset-difference').value).toBeCloseTo(-5, 6)
    // Zeros of both channels: 0.1 % of 500 N each.
    expect(figure(result, 'offset-difference').u).toBeCloseTo(0.5 * Math.SQRT2, 3)
  })

  it('a gain of one side is a share of that side and of the difference', () => {
    const result = judge(points((right) => ({ operator_side: 0.97 * right })))
    expect(figure(result, 'slope-imbalance').value).toBeCloseTo(-3, 6)
    expect(figure(result, 'slope-error', 'drive_side').value).toBeCloseTo(0, 6)
  })

  it('a web of twice the weight leaves all of m v² in: −100 %', () => {
    const result = judge(points((_, tension, speed) => both(tension - 2 * MASS * speed ** 2)))
    expect(figure(result, 'speed-effect').value).toBeCloseTo(-100, 6)
    // m v² left out of the config: it reads low by what the web does not press, in newtons a (m/s)².
    const weightless = halfTurn({
      geometry: { ...(halfTurn().zone.geometry as object), basis_weight_gsm: 0 } as ZoneInput['geometry'],
    })
    const effect = figure(judge(points(), weightless), 'speed-effect')
    expect([effect.unit, effect.value]).toEqual(['N/(m/s)²', expect.closeTo(-MASS, 6)])
  })

  it('an offset and a gain are not taken for speed, even from points unevenly spread', () => {
    const uneven = [
      [100, 2],
      [200, 15],
      [180, 12],
      [190, 3],
      [110, 4],
    ] as const
    // A gain of 5 % is one of m v² too: that share of it is left in, and nothing of the offset.
    const result = judge(points((right) => both(1.05 * right + 4), uneven))
    expect(figure(result, 'speed-effect').value).toBeCloseTo(-5, 6)
  })

  it('one speed, one tension or three points are not done, and show what is there', () => {
    const slow = judge(
      points(undefined, [
        [100, 2],
        [200, 2],
        [150, 2],
        [120, 2],
      ]),
    )
    expect(slow).toMatchObject({ state: 'not-done', sentence: expect.stringContaining('a second speed') })
    expect(figure(slow, 'agreement', 'drive_side').verdict.state).toBe('inside')
    expect(
      judge(
        points(undefined, [
          [100, 2],
          [100, 15],
          [100, 5],
          [101, 9],
        ]),
      ).sentence,
    ).toContain('a second tension')
    expect(judge(points(undefined, GRID.slice(0, 3))).sentence).toContain('4 points')
    expect(judge([])).toMatchObject({ state: 'not-done' })
  })

  it('a side without good samples at one point is unknown there, and the test with it', () => {
    const [first, ...rest] = points()
    const result = judge([withSide(first as Capture, 'operator_side', DEAD), ...rest])
    expect(result.state).toBe('unknown')
    expect(figure(result, 'imbalance', null, '120 m/min, 100 N').value).toBeNull()
  })

  it('a reference without good samples is never bridged by the typed tension', () => {
    const result = judge(points().map((capture) => ({ ...capture, reference: null })))
    expect(result.state).not.toBe('inside')
    expect(result.figures.filter(({ id }) => id === 'agreement').every(({ value }) => value === null)).toBe(true)
  })

  it('without channels speed and tension count as told with each capture; untold, nothing is expected', () => {
    const at = halfTurn({ speed: undefined, reference: undefined })
    const told = points().map(
      (capture): Capture => ({
        ...capture,
        speed: null,
        reference: null,
        values: { speed: (capture.speed?.value ?? 0) * 60, tension: capture.reference?.value ?? 0 },
      }),
    )
    expect(judge(told, at).state).toBe('inside')
    expect(
      judge(
        told.map((capture) => ({ ...capture, values: {} })),
        at,
      ).state,
    ).not.toBe('inside')
  })

  // Gains 0.25 points each, zeros of 0.5 N on some 200 N: U 0.9; limit 10 %.
  it.each([
    [8.5, 'inside'],
    [10, 'undecided'],
    [11.5, 'outside'],
  ])('a side difference of %f %% is %s, and the pull then runs so far from mid-span', (percent, state) => {
    const result = judge(
      points((right) => ({ drive_side: right * (1 - percent / 100), operator_side: right * (1 + percent / 100) })),
    )
    const imbalance = figure(result, 'imbalance', null, '900 m/min, 200 N')
    expect(imbalance.value).toBeCloseTo(percent, 6)
    expect(imbalance.verdict.state).toBe(state)
    // e = I L/2: 10 % at 1.6 m is 80 mm.
    expect(figure(result, 'line-of-pull', null, '900 m/min, 200 N').value).toBeCloseTo(8 * percent, 6)
  })

  it('sides exchanged mirror difference and line of pull, and nothing else', () => {
    const one = judge(points((right) => ({ drive_side: 0.95 * right })))
    const other = judge(points((right) => ({ operator_side: 0.95 * right })))
    for (const id of ['imbalance', 'line-of-pull', 'slope-imbalance'])
      expect(figure(one, id).value).toBeCloseTo(-(figure(other, id).value ?? Number.NaN), 9)
    expect(figure(one, 'agreement', 'drive_side').value).toBeCloseTo(
      figure(other, 'agreement', 'operator_side').value ?? Number.NaN,
      9,
    )
    expect(one.state).toBe(other.state)
  })

  // 3000 samples: u of σ is 1.3 %; limit 1 %.
  it.each([
    [0.9, 'inside'],
    [1, 'undecided'],
    [1.1, 'outside'],
  ])('noise of %f %% is %s', (percent, state) => {
    const noisy = points().map((capture) =>
      withSide(capture, 'drive_side', { noise: (percent / 100) * (capture.sides.drive_side?.force?.value ?? 0) }),
    )
    expect(judge(noisy).state).toBe(state)
  })

  it('one cell has no side difference, two cells without geometry no agreement', () => {
    const one = cantilever()
    const single = GRID.map(([tension, speed]) =>
      captured(
        one,
        'point',
        { single: { force: 2 * pull(tension, speed), noise: 0.2 } },
        {
          speed: { value: speed, u: 0.001 },
          reference: { value: tension, u: 0.01 },
        },
      ),
    )
    const result = judge(single, one)
    expect(result.state).toBe('inside')
    expect(result.figures.some(({ id }) => ['imbalance', 'line-of-pull', 'agreement-total'].includes(id))).toBe(false)
    const bare = judge(
      points().map((capture, i) => ({ ...capture, total: { value: 100 + 100 * (i % 2), u: 0.1 } })),
      bareZone(),
    )
    expect(bare.figures.some(({ id }) => id === 'agreement')).toBe(false)
    expect(bare.figures.some(({ id }) => id === 'imbalance')).toBe(true)
  })
})

describe('a web on another path', () => {
  it('is named by its ratio: a neighbour passed on the other side turns one span by asin(100/1000)', () => {
    // Arrow −135°: cos(39.26°) + cos(45°) over √2, by hand.
    const turned = Math.asin(0.1)
    const ratio = (Math.cos(Math.PI / 4 - turned) + Math.SQRT1_2) / Math.SQRT2
    expect(ratio).toBeCloseTo(1.0475, 4)
    const at = rightAngle()
    const run = (r: number) =>
      judge(
        points((right) => both((r * right * Math.SQRT2) / 2)),
        at,
      )
    const other = run(ratio)
    expect(other.hints[0]).toMatch(/ratio is that of another path: (guide|chill) roller passed on the other side/)
    expect(figure(other, 'best-path-misfit').value ?? 9).toBeLessThan(0.1)
    expect(run(1).hints).toEqual([])
    expect(figure(run(1), 'best-path-misfit').value ?? 0).toBeGreaterThan(2)
  })
})

describe('a roll that winds', () => {
  const level = (name: string, x_mm: number, y_mm: number, diameter_mm: number) =>
    ({ name, x_mm, y_mm, diameter_mm, turn: 'clockwise' }) as const
  const winding = rightAngle({
    rollers: {
      before: [level('guide roller', -1000, 0, 100)],
      measuring: level('measuring roller', 0, 0, 100),
      after: [level('winding roll', 0, -1000, 100)],
    },
    moving: { kind: 'winding-roll', at: 'after', core_diameter_mm: 100, full_diameter_mm: 600 },
  })
  const at: VerificationContext = { ...winding, zone: { ...winding.zone, neighbour: 'roll' } }
  /** Arrow −135°, the leaving span turned by asin((r − 50)/1000) towards downstream: half of a·(u_out − u_in) a newton. */
  const factor = (radius: number): number => (Math.cos(Math.PI / 4 + Math.asin((radius - 0.05) / 1)) + Math.SQRT1_2) / 2
  const roll = (id: string, diameter: number, told = diameter): Capture => {
    const force = (200 - MASS * 4) * factor(diameter / 2)
    return captured(
      at,
      id,
      { drive_side: { force }, operator_side: { force } },
      {
        speed: { value: 2, u: 0.001 },
        reference: { value: 200, u: 0.01 },
        neighbour: { value: told, u: 1e-4 },
      },
    )
  }
  const wound = (...captures: Capture[]) => judged(at, 'running.neighbour', {}, captures)

  it('that is followed reads alike near core and near full, though the force falls by a tenth', () => {
    expect(factor(0.25) / factor(0.05)).toBeCloseTo(0.89, 2)
    const result = wound(roll('near-core', 0.1), roll('near-full', 0.5))
    expect(figure(result, 'core-full-change').value).toBeCloseTo(0, 6)
    expect(result.state).toBe('inside')
  })

  it('whose diameter is told wrong drifts away as it grows: 600 mm told as 400 mm is −6.6 %', () => {
    const result = wound(roll('near-core', 0.1), roll('near-full', 0.6, 0.4))
    expect(figure(result, 'core-full-change').value).toBeCloseTo(100 * (factor(0.3) / factor(0.2) - 1), 3)
    expect(result.state).toBe('outside')
  })

  it('that has hardly grown proves nothing, and one capture is not done', () => {
    expect(wound(roll('near-core', 0.1), roll('near-full', 0.15))).toMatchObject({ state: 'not-done' })
    expect(wound(roll('near-core', 0.1)).state).toBe('not-done')
  })

  it('whose channel gives nothing is unknown: the typed diameter does not stand in', () => {
    expect(wound(roll('near-core', 0.1), { ...roll('near-full', 0.5), neighbour: null }).state).toBe('unknown')
  })
})

describe('the path by eye', () => {
  it('as drawn is inside, otherwise outside, unanswered not done', () => {
    expect(judged(context, 'running.path', { 'as-drawn': true }).state).toBe('inside')
    expect(judged(context, 'running.path', { 'as-drawn': false }).state).toBe('outside')
    expect(judged(context, 'running.path').state).toBe('not-done')
  })
})
