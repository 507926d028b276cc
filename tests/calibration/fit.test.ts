import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type FitPoint, fitPolynomial, type PolynomialFit } from '../../lib/calibration/polynomial-fit.ts'
import { inverse, leverage, predict } from '../../lib/calibration/prediction.ts'

const LINE = { degree: 1, intercept: true } as const

/** Six points or more with x well apart, so that the slope is well determined. */
const pointsArb = fc
  .array(fc.tuple(fc.double({ min: -0.3, max: 0.3, noNaN: true }), fc.double({ min: -10, max: 10, noNaN: true })), {
    minLength: 6,
    maxLength: 20,
  })
  .map((pairs): FitPoint[] => pairs.map(([jitter, y], i) => ({ x: i + jitter, y: y + 3 * i })))

function line(points: readonly FitPoint[], options: { degree: 1 | 2; intercept: boolean } = LINE): PolynomialFit {
  const fit = fitPolynomial(points, options)
  if (fit === undefined) throw new Error('no fit')
  return fit
}
const near = (a: number | undefined, b: number | undefined, size = 1) =>
  expect(Math.abs((a ?? Number.NaN) - (b ?? Number.NaN))).toBeLessThanOrEqual(1e-8 * (1 + size))
const sd = (fit: PolynomialFit, k: number) => Math.sqrt(fit.covariance?.[k]?.[k] ?? Number.NaN)

describe('the least-squares fit', () => {
  it('scales with y: coefficients, uncertainties and residual with it, and the sign turns with the sign', () => {
    fc.assert(
      fc.property(pointsArb, fc.double({ min: 0.01, max: 1000, noNaN: true }), fc.boolean(), (points, size, flip) => {
        const c = flip ? -size : size
        const a = line(points)
        const b = line(points.map(({ x, y }) => ({ x, y: c * y })))
        for (const k of [0, 1]) {
          near(b.coefficients[k], c * (a.coefficients[k] ?? 0), size * 100)
          near(sd(b, k), size * sd(a, k), size * 100)
        }
        near(b.residualSd, size * (a.residualSd ?? 0), size * 100)
      }),
    )
  })

  it('shifts with x and y: the slope and its uncertainty stay, the prediction moves along', () => {
    fc.assert(
      fc.property(
        pointsArb,
        fc.double({ min: -1e4, max: 1e4, noNaN: true }),
        fc.double({ min: -1e4, max: 1e4, noNaN: true }),
        (points, dx, dy) => {
          const a = line(points)
          const b = line(points.map(({ x, y }) => ({ x: x + dx, y: y + dy })))
          near(b.coefficients[1], a.coefficients[1], 1e3)
          near(sd(b, 1), sd(a, 1), 1e3)
          near(predict(b, 2 + dx).value, predict(a, 2).value + dy, 1e6)
          near(predict(b, 2 + dx).u, predict(a, 2).u, 1e3)
        },
      ),
    )
  })

  it('does not depend on the order of the points', () => {
    fc.assert(
      fc.property(pointsArb, fc.integer({ min: 1, max: 19 }), (points, by) => {
        const turned = [...points.slice(by % points.length), ...points.slice(0, by % points.length)].reverse()
        const [a, b] = [line(points), line(turned)]
        for (const k of [0, 1]) {
          near(b.coefficients[k], a.coefficients[k], 100)
          near(sd(b, k), sd(a, k), 100)
        }
      }),
    )
  })

  it('knows only ratios of stated uncertainties: their common size changes nothing while scatter is there to see', () => {
    const uArb = fc.array(fc.double({ min: 0.1, max: 10, noNaN: true }), { minLength: 20, maxLength: 20 })
    fc.assert(
      fc.property(pointsArb, uArb, fc.double({ min: 0.01, max: 100, noNaN: true }), (points, us, size) => {
        const a = line(points.map((p, i) => ({ ...p, u: us[i] ?? 1 })))
        const b = line(points.map((p, i) => ({ ...p, u: size * (us[i] ?? 1) })))
        for (const k of [0, 1]) {
          near(b.coefficients[k], a.coefficients[k], 100)
          near(sd(b, k), sd(a, k), 100)
        }
      }),
    )
  })

  it('weighs a point of weight two like the same point given twice', () => {
    fc.assert(
      fc.property(pointsArb, fc.nat({ max: 5 }), (points, at) => {
        const twice = line([...points, points[at] as FitPoint])
        const weighed = line(points.map((p, i) => ({ ...p, readings: i === at ? 2 : 1 })))
        for (const k of [0, 1]) near(weighed.coefficients[k], twice.coefficients[k], 100)
      }),
    )
  })

  it('leaves residuals that are orthogonal to what was fitted', () => {
    fc.assert(
      fc.property(pointsArb, fc.constantFrom(1 as const, 2 as const), fc.boolean(), (points, degree, intercept) => {
        const { residuals } = line(points, { degree, intercept })
        for (const power of [0, 1, 2].filter((p) => p <= degree && (intercept || p > 0)))
          near(
            residuals.reduce((sum, r, i) => sum + r * (points[i]?.x ?? 0) ** power, 0),
            0,
            1e4,
          )
      }),
    )
  })

  it('has leverages that add up to the number of coefficients', () => {
    fc.assert(
      fc.property(pointsArb, (points) => {
        const fit = line(points)
        near(
          points.reduce((sum, { x }) => sum + leverage(fit, x), 0),
          2,
        )
      }),
    )
  })

  it('turned round, gives back the force that was put in', () => {
    fc.assert(
      fc.property(pointsArb, fc.double({ min: -5, max: 25, noNaN: true }), (points, x) => {
        const fit = line(points)
        fc.pre(Math.abs(fit.coefficients[1] ?? 0) > 0.1)
        near(inverse(fit, predict(fit, x).value, 0).value, x, 1e3)
      }),
    )
  })
})

describe('too few points', () => {
  it('no fit without enough different x', () => {
    expect(fitPolynomial([], LINE)).toBeUndefined()
    expect(fitPolynomial([{ x: 1, y: 1 }], LINE)).toBeUndefined()
    expect(
      fitPolynomial(
        [1, 2, 3].map((y) => ({ x: 5, y })),
        LINE,
      ),
    ).toBeUndefined()
    expect(
      fitPolynomial(
        [0, 1, 0, 1].map((x, y) => ({ x, y })),
        { degree: 2, intercept: true },
      ),
    ).toBeUndefined()
    expect(fitPolynomial([{ x: 0, y: 1 }], { degree: 1, intercept: false })).toBeUndefined()
  })

  it('two points make a line without an uncertainty, or with the stated one', () => {
    const bare = line([
      { x: 0, y: 1 },
      { x: 2, y: 5 },
    ])
    expect(bare.coefficients[0]).toBeCloseTo(1, 12)
    expect(bare.coefficients[1]).toBeCloseTo(2, 12)
    expect([bare.covariance, bare.residualSd, predict(bare, 1).u]).toEqual([undefined, undefined, undefined])
    const stated = line([
      { x: 0, y: 1, u: 0.3 },
      { x: 2, y: 5, u: 0.4 },
    ])
    // By hand: slope (y₂ − y₁)/2, u = √(0.3² + 0.4²)/2.
    expect(sd(stated, 1)).toBeCloseTo(0.25, 12)
    expect(sd(stated, 0)).toBeCloseTo(0.3, 12)
    expect(stated.dof).toBe(Number.POSITIVE_INFINITY)
  })

  it('a parabola is not turned round', () => {
    const fit = line(
      [0, 1, 2, 3].map((x) => ({ x, y: x * x })),
      { degree: 2, intercept: true },
    )
    expect(() => inverse(fit, 1, 0)).toThrow(RangeError)
  })
})
