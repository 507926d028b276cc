import { describe, expect, it } from 'vitest'
import { airFilm } from '../../lib/geometry/air-film.ts'
import { permissibleUnbalance } from '../../lib/geometry/balance.ts'
import { forceFactor, lossOffBisector } from '../../lib/geometry/force-factor.ts'
import { aliasOf, turnRate } from '../../lib/geometry/frequency.ts'
import { gravityAt } from '../../lib/geometry/gravity.ts'
import { momentumTerm, resultant, webForce } from '../../lib/geometry/resultant.ts'
import { relativeChangePerWrap } from '../../lib/geometry/sensitivity.ts'
import { EXPANSIONS, shaftGrowth } from '../../lib/geometry/shaft-growth.ts'
import { imbalanceOfOneArrowOff, lineOfPull } from '../../lib/geometry/sides.ts'
import { settledTension, spanTimeConstant, tensionAfter } from '../../lib/geometry/span-response.ts'
import { type Roller, spanBetween } from '../../lib/geometry/tangent.ts'
import { frictionNeeded, gripRatio } from '../../lib/geometry/traction.ts'
import { length, radians, unitAt } from '../../lib/geometry/vector.ts'
import { pathLength, wrapBetween, wrapOf } from '../../lib/geometry/wrap.ts'

/*
 * Status of each figure: V2 read in a secondary copy of the source named; C computed with numpy or scipy 1.17.1;
 * M from memory, no document seen.
 */

const roller = (name: string, x: number, radius: number, turn: 1 | -1): Roller => ({
  name,
  centre: { x, y: 0 },
  radius,
  turn,
})
const beltLength = (a: Roller, b: Roller): number => {
  const [there, back] = [spanBetween(a, b), spanBetween(b, a)]
  const onA = wrapBetween(back, there, a.turn).angle * a.radius
  return there.length + back.length + onA + wrapBetween(there, back, b.turn).angle * b.radius
}

describe('wraps and lengths of belts', () => {
  // Shigley's Mechanical Engineering Design, solutions to problem 17-4: D 18, d 6, C 96 in (V2).
  it('open belt of Shigley 17-4: 3.016511 and 3.266674 rad, 230.074 in', () => {
    const [small, large] = [roller('small', 96, 3, 1), roller('large', 0, 9, 1)]
    expect(wrapOf(large, small, large).angle).toBeCloseTo(3.016511, 6)
    expect(wrapOf(small, large, small).angle).toBeCloseTo(3.266674, 6)
    expect(beltLength(small, large)).toBeCloseTo(230.074, 3)
    // From the first contact on the large pulley once round the small one: two spans and the small wrap.
    expect(pathLength([large, small, large])).toBeCloseTo(230.074 - 9 * 3.266674, 3)
  })
  // Belt problem with pulleys of 72 and 36 cm, 137 cm apart: 446.0 cm open, 465.2 cm crossed (V2).
  it('open and crossed belt of 72 and 36 cm: 446.0 and 465.2 cm', () => {
    const large = roller('large', 0, 36, 1)
    expect(beltLength(large, roller('small', 137, 18, 1))).toBeCloseTo(446.0, 1)
    expect(beltLength(large, roller('small', 137, 18, -1))).toBeCloseTo(465.2, 1)
  })
})

describe('belt friction', () => {
  // Beer & Johnston, Vector Mechanics: Statics, problem 8.104: 80 lb holds 5000 lb over two turns: μ 0.329;
  // 20 000 lb take 2.67 turns (V2).
  it('8.104: capstan', () => {
    const friction = frictionNeeded(80, 5000, 0, 4 * Math.PI)
    expect(friction).toBeCloseTo(0.329, 3)
    expect(80 * gripRatio(friction, 2 * Math.PI * 2.6704902)).toBeCloseTo(20_000, 0)
  })
  // Problem 8.113: 900 N on the axle, r 60 mm, μ 0.35, half a turn: couple 27.0 N·m, largest tension 675 N (V2).
  it('8.113: force on the axle and tensions of a pulley about to slip', () => {
    const ratio = gripRatio(0.35, Math.PI)
    const low = 900 / (1 + ratio)
    expect(low * ratio).toBeCloseTo(675, 0)
    expect(0.06 * (low * ratio - low)).toBeCloseTo(27.0, 1)
    const web = { tensionIn: low, tensionOut: low * ratio, momentum: 0 }
    expect(length(resultant(webForce(web, unitAt(0), unitAt(Math.PI))))).toBeCloseTo(900, 9)
  })
  // Shigley 17-2: Fc 73.4 lbf, ΔF 664 lbf, f 0.8, φ 3.037 rad: 802 and 138 lbf (V2; digits C).
  it('with the momentum term: Shigley 17-2', () => {
    expect(frictionNeeded(137.52770260426905, 801.527702604269, 73.4, 3.037)).toBeCloseTo(0.8, 9)
  })
})

describe('force of a web on a roller', () => {
  // Vector sum of two spans of 100 N, numpy (C).
  it.each([
    [10, 17.431148549531628],
    [30, 51.76380902050414],
    [60, 100],
    [90, 141.4213562373095],
    [120, 173.20508075688772],
    [180, 200],
    [240, 173.20508075688775],
  ])('%d° of wrap: %f N', (wrap, newtons) => {
    const web = { tensionIn: 100, tensionOut: 100, momentum: 0 }
    expect(length(resultant(webForce(web, unitAt(0.4), unitAt(0.4 + radians(wrap)))))).toBeCloseTo(newtons, 9)
  })
  // m v²: 0.1 kg/m at 10 m/s is 10 N, 1.95 kg/m at 20 m/s 780 N (V-belt example of a machine design text, V2);
  // 45 g/m² × 1.3 m at 25 m/s is 37 N.
  it.each([
    [0.1, 10, 10],
    [0.05, 5, 1.25],
    [1.95, 20, 780],
    [0.045 * 1.3, 25, 36.5625],
  ])('momentum of %f kg/m at %d m/s: %f N', (mass, speed, newtons) => {
    expect(momentumTerm(mass, speed)).toBeCloseTo(newtons, 9)
  })
  it('takes 2 m v² sin(θ/2) off the resultant', () => {
    const web = { tensionIn: 100, tensionOut: 100, momentum: 10 }
    expect(length(resultant(webForce(web, unitAt(0), unitAt(radians(60)))))).toBeCloseTo(90, 9)
  })
  // The trade's round figures, each a line of arithmetic (C).
  it.each([
    [2, 0.0006],
    [5, 0.0038],
    [10, 0.0152],
  ])('an arrow %d° off loses %f of its signal', (off, loss) => {
    expect(lossOffBisector(radians(off))).toBeCloseTo(loss, 4)
    const wrap = wrapBetween(
      { ...spanBetween(roller('a', -1, 0.1, 1), roller('b', 0, 0.1, 1)) },
      { ...spanBetween(roller('b', 0, 0.1, 1), { ...roller('c', 0, 0.1, 1), centre: { x: 0, y: 1 } }) },
      1,
    )
    const full = forceFactor(wrap.bisector, wrap)
    expect(1 - forceFactor(wrap.bisector + radians(off), wrap) / full).toBeCloseTo(lossOffBisector(radians(off)), 12)
  })
  it.each([
    [10, 0.0997],
    [30, 0.0326],
    [90, 0.0087],
    [180, 0],
  ])('a degree at %d° of wrap changes the force by %f', (wrap, share) => {
    expect(radians(1) * relativeChangePerWrap(radians(wrap), 0, 1, 'outgoing')).toBeCloseTo(share, 3)
  })
  it('10 % of imbalance at 1.6 m between the cells is 80 mm; one arrow 12° off makes 1.1 %, 25° 5 %', () => {
    expect(lineOfPull(0.1, 1.6)).toBeCloseTo(0.08, 12)
    expect(imbalanceOfOneArrowOff(radians(12))).toBeCloseTo(0.011, 3)
    expect(imbalanceOfOneArrowOff(radians(25))).toBeCloseTo(0.049, 3)
  })
})

describe('air film', () => {
  // 0.643 R (6 μ (V_w + V_r)/T)^(2/3), numpy (C); the coefficient 0.64304 by solving the foil-bearing equation with
  // scipy's DOP853 (C); attribution to Knox & Sweeney 1971 and Eshel & Elrod 1965 (M).
  it.each([
    [0.05, 5, 100, 15.766460027937907e-6],
    [0.1, 10, 200, 31.5329200558758e-6],
    [0.075, 2, 350, 5.569549709413689e-6],
  ])('R %f m, %d m/s, %d N/m', (radius, speed, tension, film) => {
    expect(Math.abs(airFilm(radius, 1.81e-5, speed, speed, tension) / film - 1)).toBeLessThan(1e-12)
  })
})

describe('expansion', () => {
  // Linear expansion of 1 m by 30 K and others (C); coefficients of engineering tables (V2).
  it.each([
    [11e-6, 1, 30, 330e-6],
    [12e-6, 1.5, 30, 540e-6],
    [17.3e-6, 1, 30, 519e-6],
    [23.1e-6, 1, 30, 693e-6],
  ])('%f /K, %f m, %d K', (shaftExpansion, long, kelvin, growth) => {
    const inputs = { length: long, shaftExpansion, frameExpansion: 0, shaftWarming: kelvin, frameWarming: 0 }
    expect(shaftGrowth(inputs)).toBeCloseTo(growth, 12)
  })
  it('1.5 m and 40 K: 0.65 mm of carbon steel, 1.39 mm of aluminium', () => {
    const growth = (name: string): number => {
      const shaftExpansion = EXPANSIONS.find((e) => e.name === name)?.perKelvin ?? Number.NaN
      return shaftGrowth({ length: 1.5, shaftExpansion, frameExpansion: 0, shaftWarming: 40, frameWarming: 0 })
    }
    expect(growth('carbon steel')).toBeCloseTo(0.65e-3, 5)
    expect(growth('aluminium')).toBeCloseTo(1.39e-3, 5)
  })
})

describe('frequencies', () => {
  // v/(πD), numpy (C).
  it.each([
    [300, 150, 10.61032953945969],
    [100, 100, 5.305164769729845],
    [600, 200, 15.915494309189533],
    [120, 76.2, 8.354590188550935],
  ])('%d m/min on %f mm turns at %f Hz', (speed, diameter, hertz) => {
    expect(turnRate(speed / 60, diameter / 1000)).toBeCloseTo(hertz, 9)
  })
  // Sampled at 100/s 70 Hz shows at 30, 160 at 40, 510 at 10 (worked example of a data-acquisition text, V2); rest C.
  it.each([
    [70, 100, 30],
    [160, 100, 40],
    [510, 100, 10],
    [60, 50, 10],
    [25, 50, 25],
    [100, 100, 0],
    [51, 20, 9],
  ])('%d Hz at %d samples/s shows at %d Hz', (f, rate, alias) => {
    expect(aliasOf(f, rate)).toBeCloseTo(alias, 9)
  })
  // ISO 21940-11 (1940-1) in workshop units, 9549 G m/n g·mm (V2): G 6.3, 50 kg, 1000/min: 3008 g·mm, and others (C).
  it.each([
    [6.3, 50, 1000, 3008.028424436822],
    [2.5, 50, 1000, 1193.662073189215],
    [6.3, 10, 3000, 200.53522829578813],
    [6.3, 100, 1500, 4010.7045659157625],
  ])('permissible unbalance at G %f, %d kg, %d/min: %f g·mm', (grade, mass, rpm, gmm) => {
    expect(permissibleUnbalance(grade / 1000, mass, rpm / 60) * 1e6).toBeCloseTo(gmm, 6)
  })
})

describe('web span between two driven rollers', () => {
  // Small-strain span equation L dT₂/dt = EA (v₂ − v₁) + v₁ T₁ − v₂ T₂ (form V2), solved with scipy's solve_ivp (C).
  const span = { stiffness: 3200, length: 1.5, v1: 2, v2: 2.002, tension1: 40 }
  it('settles at 43.157 N with a time constant of 0.749 s', () => {
    expect(settledTension(span)).toBeCloseTo(43.15684315684281, 9)
    expect(spanTimeConstant(span.length, span.v2)).toBeCloseTo(0.7492507492507493, 12)
  })
  it.each([
    [0, 40],
    [0.18731268731268733, 40.69829123426084],
    [0.7492507492507493, 41.995505460440995],
    [2.247752247752248, 42.99967319075852],
    [3.7462537462537466, 43.13557251495908],
  ])('after %f s: %f N', (seconds, newtons) => {
    expect(tensionAfter(span, 40, seconds)).toBeCloseTo(newtons, 6)
  })
  it('the full strain model gives more: 43.240 N, by the share its docstring names', () => {
    const full = 3200 * ((1 + 40 / 3200) * (2.002 / 2) - 1)
    expect(full).toBeCloseTo(43.24, 6)
    expect((full - settledTension(span)) / (full - 40)).toBeLessThan(0.03)
  })
})

// WGS 84 normal gravity: 9.7803253359 at the equator, 9.8321849378 m/s² at the poles (M), 9.80620 at 45° (M).
it.each([
  [0, 9.7803253359],
  [45, 9.8062],
  [90, 9.8321849378],
])('gravity at %d° of latitude', (latitude, g) => {
  expect(gravityAt(radians(latitude), 0)).toBeCloseTo(g, latitude === 45 ? 4 : 7)
})
