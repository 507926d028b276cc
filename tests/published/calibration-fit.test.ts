import { describe, expect, it } from 'vitest'
import { lackOfFit } from '../../lib/calibration/lack-of-fit.ts'
import { type FitOptions, fitPolynomial, type PolynomialFit } from '../../lib/calibration/polynomial-fit.ts'
import { predict } from '../../lib/calibration/prediction.ts'
import { fUpperTail } from '../../lib/statistics/f-distribution.ts'
import { absent, runPython, titled } from '../http/support/python-peer.ts'
import { STRD_NORRIS, STRD_PONTIUS } from './strd-data.ts'

/**
 * NIST Statistical Reference Datasets, linear regression (https://www.itl.nist.gov/div898/strd/lls/lls.shtml), public
 * domain; data and certified values read in the documents named.
 */
const NOINT1 = {
  x: [60, 61, 62, 63, 64, 65, 66, 67, 68, 69, 70],
  y: [130, 131, 132, 133, 134, 135, 136, 137, 138, 139, 140],
}

function fitOf(x: readonly number[], y: readonly number[], options: FitOptions): PolynomialFit {
  const fit = fitPolynomial(
    x.map((value, i) => ({ x: value, y: y[i] ?? Number.NaN })),
    options,
  )
  if (fit === undefined) throw new Error('no fit')
  return fit
}

const sdOf = (fit: PolynomialFit, k: number) => Math.sqrt(fit.covariance?.[k]?.[k] ?? Number.NaN)

/** Log relative error: decimal digits that agree with a certified value, 15 at most (StRD, "Numerical accuracy"). */
const digits = (found: number, certified: number) =>
  Math.min(15, -Math.log10(Math.abs(found - certified) / Math.abs(certified)))

interface Certified {
  readonly name: string
  readonly fit: PolynomialFit
  /** Power of x, estimate, standard deviation. */
  readonly coefficients: readonly (readonly [number, number, number])[]
  readonly residualSd: number
}

const CERTIFIED: readonly Certified[] = [
  {
    name: 'Norris (straight line)',
    fit: fitOf(STRD_NORRIS.x, STRD_NORRIS.y, { degree: 1, intercept: true }),
    coefficients: [
      [0, -0.262323073774029, 0.232818234301152],
      [1, 1.00211681802045, 0.429796848199937e-3],
    ],
    residualSd: 0.884796396144373,
  },
  {
    name: 'Pontius (parabola through a load-cell calibration)',
    fit: fitOf(STRD_PONTIUS.x, STRD_PONTIUS.y, { degree: 2, intercept: true }),
    coefficients: [
      [0, 0.673565789473684e-3, 0.107938612033077e-3],
      [1, 0.732059160401003e-6, 0.157817399981659e-9],
      [2, -0.316081871345029e-14, 0.486652849992036e-16],
    ],
    residualSd: 0.205177424076185e-3,
  },
  {
    name: 'NoInt1 (line through the origin)',
    fit: fitOf(NOINT1.x, NOINT1.y, { degree: 1, intercept: false }),
    coefficients: [[1, 2.07438016528926, 0.165289256198347e-1]],
    residualSd: 3.56753034006338,
  },
]

describe('NIST StRD linear regression, certified to 15 digits', () => {
  it.each(CERTIFIED)('$name: 12 digits or more in every coefficient, standard deviation and the residual', (set) => {
    const reached = set.coefficients.map(([k, estimate, sd]) => ({
      estimate: digits(set.fit.coefficients[k] ?? Number.NaN, estimate),
      sd: digits(sdOf(set.fit, k), sd),
    }))
    const residual = digits(set.fit.residualSd ?? Number.NaN, set.residualSd)
    const list = reached.map(
      (d, i) => `B${set.coefficients[i]?.[0]} ${d.estimate.toFixed(1)}, its sd ${d.sd.toFixed(1)}`,
    )
    console.log(`digits reached, ${set.name}: ${list.join('; ')}; residual sd ${residual.toFixed(1)}`)
    for (const d of reached) {
      expect(d.estimate).toBeGreaterThan(12)
      expect(d.sd).toBeGreaterThan(12)
    }
    expect(residual).toBeGreaterThan(12)
  })
})

/** NIST/SEMATECH e-Handbook 4.6.1 (load cell calibration): printed figures read there; the rest computed with statsmodels 0.13.5. */
describe('NIST/SEMATECH e-Handbook 4.6.1, the load cell of Pontius', () => {
  const points = STRD_PONTIUS.x.map((x, i) => ({ x, y: STRD_PONTIUS.y[i] ?? Number.NaN, weight: 1 }))
  const line = fitOf(STRD_PONTIUS.x, STRD_PONTIUS.y, { degree: 1, intercept: true })
  const parabola = fitOf(STRD_PONTIUS.x, STRD_PONTIUS.y, { degree: 2, intercept: true })

  it('4.6.1.5: the straight line to the five digits printed', () => {
    expect(line.coefficients[0]).toBeCloseTo(0.614969e-2, 7)
    expect((line.coefficients[1] ?? 0) / 0.722103e-6).toBeCloseTo(1, 5)
    // Printed 0.0021712694; the data give 0.0021712726.
    expect((line.residualSd ?? 0) / 0.0021712694).toBeCloseTo(1, 5)
    expect((line.residualSd ?? 0) / 0.0021712725960567622).toBeCloseTo(1, 11)
  })

  it('4.6.1.7: the line does not fit (F 214.7 against 2.15), the parabola does (F 0.81 against 2.17)', () => {
    const lackOfLine = lackOfFit(points, line.residuals, 2)
    expect(lackOfLine?.f).toBeCloseTo(214.74692365392275, 5)
    expect([lackOfLine?.dofLack, lackOfLine?.dofPure]).toEqual([18, 20])
    expect(lackOfLine?.p).toBeLessThan(1e-15)
    const lackOfParabola = lackOfFit(points, parabola.residuals, 3)
    expect(lackOfParabola?.f).toBeCloseTo(0.8107239003094336, 5)
    expect([lackOfParabola?.dofLack, lackOfParabola?.dofPure]).toEqual([17, 20])
    expect(lackOfParabola?.p).toBeGreaterThan(0.5)
  })
})

/** JCGM 100:2008, H.3: calibration of a thermometer; table H.6 and results read in a secondary document. */
describe('JCGM 100, H.3', () => {
  const t = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.01, 26.511]
  const b = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.16]
  const fit = fitOf(
    t.map((value) => value - 20),
    b,
    { degree: 1, intercept: true },
  )

  it('intercept −0.1712(29), slope 0.00218(67), correlation −0.930, s 0.0035', () => {
    expect(fit.coefficients[0]).toBeCloseTo(-0.1712, 4)
    expect(sdOf(fit, 0)).toBeCloseTo(0.0029, 4)
    expect(fit.coefficients[1]).toBeCloseTo(0.00218, 5)
    expect(sdOf(fit, 1)).toBeCloseTo(0.00067, 5)
    expect((fit.covariance?.[0]?.[1] ?? Number.NaN) / (sdOf(fit, 0) * sdOf(fit, 1))).toBeCloseTo(-0.93, 3)
    expect(fit.residualSd).toBeCloseTo(0.0035, 4)
    expect(fit.dof).toBe(9)
  })

  it('predicted at 30 °C: −0.1494(41)', () => {
    const predicted = predict(fit, 10)
    expect(predicted.value).toBeCloseTo(-0.1494, 4)
    expect(predicted.u).toBeCloseTo(0.0041, 4)
    // The same to more digits, computed with scipy 1.10.1.
    expect(predicted.value).toBeCloseTo(-0.14937681273247716, 12)
    expect(predicted.u).toBeCloseTo(0.004138595752854957, 12)
  })
})

describe('an independent peer', () => {
  const x = [0, 100, 200, 300, 400, 500]
  const y = [4.002, 5.617, 7.195, 8.811, 10.391, 12.02]
  const u = [0.002, 0.003, 0.005, 0.004, 0.008, 0.012]
  const weighted = fitPolynomial(
    x.map((value, i) => ({ x: value, y: y[i] ?? Number.NaN, u: u[i] ?? Number.NaN })),
    { degree: 1, intercept: true },
  )

  /** Computed by numpy 1.24.2: polyfit(x, y, 1, w=1/u, cov=True). */
  const STORED = {
    intercept: 4.004837135101672,
    slope: 0.016010989809038523,
    slopeVariance: 8.769254422913435e-10,
    covariance: -8.582621240651744e-8,
  }

  it('a weighted line agrees with vectors stored from numpy 1.24.2 polyfit(w = 1/u, cov = True)', () => {
    expect(weighted?.coefficients[0]).toBeCloseTo(STORED.intercept, 11)
    expect(weighted?.coefficients[1]).toBeCloseTo(STORED.slope, 13)
    expect(weighted?.covariance?.[1]?.[1]).toBeCloseTo(STORED.slopeVariance, 18)
    expect(weighted?.covariance?.[0]?.[1]).toBeCloseTo(STORED.covariance, 15)
  })

  const reason = absent('scipy.optimize')
  it.skipIf(reason !== null)(
    titled('30 weighted fits of both degrees agree with scipy curve_fit, run beside them, to seven digits', reason),
    () => {
      const series = Array.from({ length: 30 }, (_, run) => {
        const xs = Array.from({ length: 5 + (run % 7) }, (_, i) => i * 20 + (run % 5))
        return {
          degree: run % 2 === 0 ? (1 as const) : (2 as const),
          x: xs,
          y: xs.map((value, i) => 4 + 0.016 * value + 1e-6 * value * value + 0.01 * Math.sin(7 * run + 3 * i)),
          u: xs.map((_, i) => 0.001 * (1 + ((run + 2 * i) % 5))),
        }
      })
      const program = `
import json, sys
import numpy as np
from scipy.optimize import curve_fit
out = []
for s in json.load(sys.stdin):
    f = (lambda x, a, b: a + b * x) if s["degree"] == 1 else (lambda x, a, b, c: a + b * x + c * x * x)
    jac = lambda x, *p: np.vander(x, s["degree"] + 1, increasing=True)
    p, cov = curve_fit(f, np.array(s["x"], float), np.array(s["y"]), sigma=np.array(s["u"]), absolute_sigma=False,
                       p0=[4, 0.016] if s["degree"] == 1 else [4, 0.016, 0], jac=jac, ftol=1e-15, xtol=1e-15, gtol=1e-15)
    out.append({"p": list(p), "sd": list(np.sqrt(np.diag(cov)))})
print(json.dumps(out))`
      const found = runPython(program, series) as { p: number[]; sd: number[] }[]
      for (const [run, one] of series.entries()) {
        const fit = fitPolynomial(
          one.x.map((value, i) => ({ x: value, y: one.y[i] ?? Number.NaN, u: one.u[i] ?? Number.NaN })),
          { degree: one.degree, intercept: true },
        )
        const peer = found[run]
        if (fit === undefined || peer === undefined) throw new Error('no fit')
        for (const [k, value] of peer.p.entries()) {
          const sd = peer.sd[k] ?? Number.NaN
          expect(Math.abs((fit.coefficients[k] ?? Number.NaN) - value)).toBeLessThan(1e-5 * sd)
          expect(sdOf(fit, k) / sd).toBeCloseTo(1, 6)
        }
      }
    },
  )
})

/** Computed by scipy 1.10.1, scipy.stats.f.sf. */
describe('upper tail of the F distribution', () => {
  it.each([
    [2.5, 3, 7, 0.14350945627893927],
    [2.1511244271218306, 18, 20, 0.05],
    [0.4, 1, 1, 0.640982964028624],
    [40, 2, 30, 3.435014252937534e-9],
  ])('P(F > %f; %i, %i) = %f', (f, d1, d2, p) => {
    expect(fUpperTail(f, d1, d2) / p).toBeCloseTo(1, 12)
  })

  it('is 1 from zero down, 0 at infinity, and refuses degrees of freedom of 0', () => {
    expect([fUpperTail(0, 2, 2), fUpperTail(-1, 2, 2), fUpperTail(Number.POSITIVE_INFINITY, 2, 2)]).toEqual([1, 1, 0])
    expect(() => fUpperTail(1, 0, 2)).toThrow(RangeError)
  })
})
