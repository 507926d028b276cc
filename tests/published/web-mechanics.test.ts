import { describe, expect, it } from 'vitest'
import { airFilm } from '../../lib/geometry/air-film.ts'
import { forceFactor, lossOffBisector } from '../../lib/geometry/force-factor.ts'
import { aliasOf, turnRate } from '../../lib/geometry/frequency.ts'
import { gravityAt } from '../../lib/geometry/gravity.ts'
import { momentumTerm, resultant, webForce } from '../../lib/geometry/resultant.ts'
import { relativeChangePerWrap } from '../../lib/geometry/sensitivity.ts'
import { EXPANSIONS, shaftGrowth } from '../../lib/geometry/shaft-growth.ts'
import { lineOfPull } from '../../lib/geometry/sides.ts'
import { type Roller, spanBetween } from '../../lib/geometry/tangent.ts'
import { frictionNeeded } from '../../lib/geometry/traction.ts'
import { length, radians, unitAt } from '../../lib/geometry/vector.ts'
import { wrapBetween, wrapOf } from '../../lib/geometry/wrap.ts'

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
    expect(frictionNeeded(80, 20_000, 0, 2 * Math.PI * 2.6704902)).toBeCloseTo(friction, 6)
  })
  // Problem 8.113: 900 N on the axle, r 60 mm, μ 0.35, half a turn: couple 27.0 N·m, largest tension 675 N (V2).
  it('8.113: force on the axle and tensions of a pulley about to slip', () => {
    const [low, high] = [225, 675]
    expect(0.06 * (high - low)).toBeCloseTo(27.0, 1)
    expect(frictionNeeded(low, high, 0, Math.PI)).toBeCloseTo(0.35, 3)
    const web = { tensionIn: low, tensionOut: high, momentum: 0 }
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
  it('10 % of imbalance at 1.6 m between the cells is 80 mm', () => {
    expect(lineOfPull(0.1, 1.6)).toBeCloseTo(0.08, 12)
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
})

// WGS 84 normal gravity: 9.7803253359 at the equator, 9.8321849378 m/s² at the poles (M), 9.80620 at 45° (M).
it.each([
  [0, 9.7803253359],
  [45, 9.8062],
  [90, 9.8321849378],
])('gravity at %d° of latitude', (latitude, g) => {
  expect(gravityAt(radians(latitude), 0)).toBeCloseTo(g, latitude === 45 ? 4 : 7)
})
