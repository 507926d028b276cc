import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { Cell, OperatingState, ZoneGeometry } from '../../lib/geometry/description.ts'
import { type Expected, expectedOf } from '../../lib/geometry/expected.ts'
import { differenceFactor } from '../../lib/geometry/force-factor.ts'
import { workedFormulas } from '../../lib/geometry/formulas.ts'
import { entriesOf, ofSide } from '../../lib/geometry/sided.ts'
import { lineOfTension } from '../../lib/geometry/sides.ts'
import type { SignalChain } from '../../lib/geometry/signal.ts'
import { radians } from '../../lib/geometry/vector.ts'
import { warningSentence } from '../../lib/geometry/warning-words.ts'
import { plainZone, RIGHT_ANGLE, RUNNING } from './plain-zone.ts'

function told(geometry: ZoneGeometry, state: OperatingState): Expected {
  const result = expectedOf(geometry, state)
  if (!result.possible) throw new Error(result.fault.kind)
  return result.expected
}
const zone = plainZone(RIGHT_ANGLE)
const codes = (expected: Expected) => expected.warnings.map(({ code }) => code)
const drive = (expected: Expected) => ofSide(expected.sides, 'drive_side')
const operator = (expected: Expected) => ofSide(expected.sides, 'operator_side')
const withCells = (change: Partial<Cell>) => ({
  ...zone,
  cells: {
    drive_side: { ...zone.cells.drive_side, ...change },
    operator_side: { ...zone.cells.operator_side, ...change },
  },
})

describe('what the signals of a zone should be', () => {
  it('90° of wrap, 200 N, web in the middle: 141.4 N on each side along the bisector, half each', () => {
    const expected = told(zone, RUNNING)
    expect(drive(expected).forceFactor).toBeCloseTo(Math.SQRT2, 12)
    expect(drive(expected).webForce).toBeCloseTo(100 * Math.SQRT2, 9)
    expect(operator(expected).webForce).toBeCloseTo(100 * Math.SQRT2, 9)
    // 12 kg hang on two arrows that lean 45° from straight down.
    expect(drive(expected).bareForce).toBeCloseTo((12 * 9.81 * Math.SQRT1_2) / 2, 9)
    expect(expected.force).toBeCloseTo(expected.webForce + expected.bareForce, 9)
    // 4 mA and 16 mA over 500 N.
    expect(drive(expected).signal).toBeCloseTo(4 + (16 * drive(expected).force) / 500, 9)
    expect(drive(expected).bareSignal).toBeCloseTo(4 + (16 * drive(expected).bareForce) / 500, 9)
    expect(expected.imbalance).toBeCloseTo(0, 12)
    expect(expected.target.words.sentence).toBe('45.0° from vertical, pointing down, leaning upstream')
    expect(expected.span).toBeCloseTo(300 * Math.SQRT2, 9)
    expect(expected.warnings).toEqual([])
    expect(drive(expected).forceFactor).toBeCloseTo(Math.SQRT2, 12)
  })
  it('at speed the momentum comes off', () => {
    const expected = told(zone, { ...RUNNING, speed: 25 })
    expect(expected.momentum).toBeCloseTo(36.5625, 9)
    const { webForce } = drive(expected)
    expect(webForce).toBeCloseTo(((200 - 36.5625) * Math.SQRT2) / 2, 9)
  })
  it('the web off centre and pulled off centre: line of force and of tension lead to one another', () => {
    const state = { ...RUNNING, speed: 25, lineOfPull: 0.1, webOffset: 0.03 }
    const expected = told(zone, state)
    expect(expected.imbalance).toBeCloseTo((2 * (expected.lineOfForce ?? 0)) / 1.6, 9)
    expect(lineOfTension(200, expected.momentum, expected.lineOfForce ?? 0, 0.03)).toBeCloseTo(0.1, 9)
  })
  it('F = share·(k·T + cos(θ/2)·sin δ·ΔT) − share·k·m v², sign by lean', () => {
    const lean = fc.double({ min: -60, max: 60, noNaN: true })
    fc.assert(
      fc.property(lean, fc.double({ min: -50, max: 50, noNaN: true }), (off, tensionRise) => {
        const arrow = radians(-135 + off)
        const expected = told(withCells({ arrow }), { ...RUNNING, tensionRise, speed: 10 })
        const { forceFactor, webForce } = drive(expected)
        const byLean = differenceFactor(arrow, expected.wrap) * tensionRise
        expect(webForce).toBeCloseTo((forceFactor * (200 - expected.momentum) + byLean) / 2, 9)
      }),
    )
  })
  it('an arrow that leans the way the web runs reads a heavier leaving span as more', () => {
    // Over the top, leaving down: at the middle of the wrap the web runs down and downstream.
    const leaning = told(withCells({ arrow: radians(-125) }), { ...RUNNING, tensionRise: 20 })
    const even = told(withCells({ arrow: radians(-125) }), RUNNING)
    expect(drive(leaning).webForce).toBeGreaterThan(drive(even).webForce)
  })
  it('each side by its own arrow', () => {
    const expected = told(
      { ...zone, cells: { ...zone.cells, operator_side: { ...zone.cells.operator_side, arrow: radians(-123) } } },
      RUNNING,
    )
    expect(operator(expected).webForce / drive(expected).webForce).toBeCloseTo(Math.cos(radians(12)), 9)
    expect(operator(expected).loss).toBeCloseTo(1 - Math.cos(radians(12)), 12)
    // One arrow off by 12° makes tan²(6°) of imbalance: 1.1 %.
    expect(expected.imbalance).toBeCloseTo(-(Math.tan(radians(6)) ** 2), 9)
    expect(codes(expected)).toEqual(['arrow-off-target', 'arrows-differ'])
    expect(operator(expected).turn).toBe('turn it 12.0°, its tip upstream')
  })
  it('one cell of a cantilever: the whole force, no side difference and no line of pull', () => {
    const single = {
      ...zone,
      roller: { ...zone.roller, kind: 'cantilever' as const },
      cells: { single: zone.cells.drive_side },
      cellDistance: null,
    }
    const expected = told(single, { ...RUNNING, lineOfPull: 0.2 })
    expect(ofSide(expected.sides, 'single').webForce).toBeCloseTo(200 * Math.SQRT2, 9)
    expect(expected.imbalance).toBeNull()
    expect(expected.lineOfForce).toBeNull()
    expect(() => ofSide(expected.sides, 'drive_side')).toThrow(RangeError)
  })
  it('refuses two cells without a distance; tells an impossible path as a result', () => {
    expect(() => expectedOf({ ...zone, cellDistance: null }, RUNNING)).toThrow(/distance between them/)
    const after = [{ ...RIGHT_ANGLE.after, centre: { x: 0, y: -0.05 } }]
    expect(expectedOf({ ...zone, path: { ...zone.path, after } }, RUNNING)).toEqual({
      possible: false,
      fault: {
        kind: 'rollers-overlap',
        from: 'measuring roller',
        to: 'chill roller',
        overlap: expect.closeTo(0.05, 12),
      },
    })
  })
  it('every figure’s formula comes with numbers that make its result', () => {
    const state = { ...RUNNING, tensionRise: 8, speed: 10, lineOfPull: 0.05 }
    const expected = told(withCells({ arrow: radians(-125) }), state)
    const worked = workedFormulas(withCells({ arrow: radians(-125) }), state, expected)
    for (const { numbers } of worked.filter(({ figure }) => figure.startsWith('force of the web'))) {
      const [sum, result] = numbers.replaceAll(' N', '').split(' = ')
      const value = (sum ?? '')
        .replace(' − ', ' + -1 · ')
        .split(' + ')
        .reduce((all, term) => all + term.split(' · ').reduce((product, factor) => product * Number(factor), 1), 0)
      expect(Math.abs(value - Number(result))).toBeLessThan(0.05)
    }
  })
})

describe('electrical signals', () => {
  const signalOf = (chain: SignalChain) => drive(told(withCells({ chain }), RUNNING))
  const { force, bareForce } = drive(told(zone, RUNNING))
  it.each<[string, SignalChain, number, number]>([
    [
      'mV/V',
      { kind: 'mV/V', ratedOutput: 2, zeroBalance: 0.01 },
      0.01 + (2 * bareForce) / 500,
      0.01 + (2 * force) / 500,
    ],
    ['mV', { kind: 'mV', ratedOutput: 2, zeroBalance: 0, excitation: 5 }, (10 * bareForce) / 500, (10 * force) / 500],
    ['0–10 V', { kind: '0-10V', fullScaleForce: 400, zeroedOn: 'unloaded cell' }, bareForce / 40, force / 40],
    [
      '±10 V zeroed on the roller',
      { kind: '±10V', fullScaleForce: 400, zeroedOn: 'bare roller' },
      0,
      (force - bareForce) / 40,
    ],
    [
      '4–20 mA zeroed on the roller',
      { kind: '4-20mA', fullScaleForce: 400, zeroedOn: 'bare roller' },
      4,
      4 + (force - bareForce) / 25,
    ],
  ])('%s', (_, chain, bare, now) => {
    expect(signalOf(chain).bareSignal).toBeCloseTo(bare, 9)
    expect(signalOf(chain).signal).toBeCloseTo(now, 9)
  })
})

describe('warnings', () => {
  const warned = (geometry: ZoneGeometry, state: Partial<OperatingState> = {}) =>
    told(geometry, { ...RUNNING, ...state })
  const flat = plainZone({
    before: { name: 'guide roller', centre: { x: -1, y: 0 }, radius: 0.05, turn: -1 },
    measuring: { name: 'measuring roller', centre: { x: 0, y: 0.1 }, radius: 0.05, turn: -1 },
    after: { name: 'chill roller', centre: { x: 1, y: 0 }, radius: 0.05, turn: -1 },
  })
  const up = radians(45)
  // Under the roller instead of over it: the pull is up, the weight stays down.
  const lifted = plainZone({
    before: { name: 'guide roller', centre: { x: -1, y: 0 }, radius: 0.05, turn: 1 },
    measuring: { name: 'measuring roller', centre: { x: 0, y: 0 }, radius: 0.05, turn: 1 },
    after: { name: 'chill roller', centre: { x: 0, y: 1 }, radius: 0.05, turn: 1 },
  })
  const against = {
    ...lifted,
    cells: {
      drive_side: { ...lifted.cells.drive_side, arrow: radians(135) },
      operator_side: { ...lifted.cells.operator_side, arrow: radians(135) },
    },
  }
  it.each<[string, Expected, string[]]>([
    ['11° of wrap', warned({ ...flat, target: { kind: 'mount-axis', angle: radians(-135) } }), ['wrap-small']],
    [
      'a roller that pulls the live zero down',
      warned({ ...against, roller: { ...against.roller, mass: 20 } }),
      ['signal-under-range'],
    ],
    [
      'an arrow against the pull',
      warned({ ...zone, cells: { ...zone.cells, drive_side: { ...zone.cells.drive_side, arrow: up } } }),
      ['arrow-against-pull', 'arrows-differ'],
    ],
    [
      'a cell too small for the overload',
      warned({ ...zone, load: { ...zone.load, largest: 700 } }),
      ['over-capacity', 'over-capacity'],
    ],
    ['a cell too large', warned(withCells({ capacity: 5000 })), ['cell-too-large', 'cell-too-large']],
    [
      'a fast light web on a smooth roller',
      warned(
        { ...zone, air: { webRoughness: 2e-6, rollerRoughness: 1e-6, viscosity: 1.81e-5 } },
        { speed: 8, tension: 100 },
      ),
      ['air-film'],
    ],
    ['a web that lifts', warned(zone, { speed: 70 }), ['web-lifts']],
    [
      'a roller that drags',
      warned({ ...zone, roller: { ...zone.roller, friction: 0.1 } }, { tensionRise: 60 }),
      ['roller-may-slip'],
    ],
    [
      'a shaft that grows over its clearance',
      warned({
        ...zone,
        fit: {
          growth: { length: 1.6, shaftExpansion: 23.1e-6, frameExpansion: 10.8e-6, shaftWarming: 60, frameWarming: 10 },
          ends: { clearance: 0.002, shared: false },
        },
      }),
      ['growth-over-clearance'],
    ],
    [
      'a pull that may run beyond a cell',
      warned({ ...zone, load: { ...zone.load, linesOfPull: [-0.9, 0.1] } }),
      ['over-capacity', 'side-unloaded'],
    ],
  ])('%s', (_, expected, wanted) => {
    expect(codes(expected)).toEqual(expect.arrayContaining(wanted))
    for (const warning of expected.warnings) expect(warningSentence(warning)).toMatch(/^[A-Za-z0-9].*\.$/)
  })
  it('all of one kind come for both sides, and none where nothing is wrong', () => {
    expect(codes(warned(zone))).toEqual([])
    expect(codes(warned(withCells({ capacity: 5000 }))).filter((code) => code === 'cell-too-large')).toHaveLength(2)
  })
  it('capacity is checked bare, slack, smallest, largest and overloaded, with the signed weight', () => {
    const { capacity, bareForce } = ofSide(warned(against).sides, 'drive_side')
    expect(bareForce).toBeLessThan(0)
    expect(capacity.map(({ name }) => name)).toEqual([
      'bare roller',
      'slack web',
      'smallest tension',
      'largest tension',
      'overload',
    ])
    // Smallest: least share (line of pull 40 mm off of 1.6 m) and the momentum of 5 m/s off; largest: most share, standing.
    const momentum = 0.045 * 1.3 * 25
    expect(capacity[2]?.force).toBeCloseTo((100 - momentum) * Math.SQRT2 * 0.475 + bareForce, 9)
    expect(capacity[3]?.force).toBeCloseTo(300 * Math.SQRT2 * 0.525 + bareForce, 9)
    expect(capacity[4]?.force).toBeCloseTo(600 * Math.SQRT2 * 0.525 + bareForce, 9)
  })
  it('a target of a mount that cannot turn counts from the mount, and the loss is still told', () => {
    const fixed = withCells({ arrow: radians(-120) })
    const expected = told({ ...fixed, mount: 'foot', target: { kind: 'mount-axis', angle: radians(-120) } }, RUNNING)
    expect(codes(expected)).not.toContain('arrow-off-target')
    expect(drive(expected).loss).toBeCloseTo(1 - Math.cos(radians(15)), 12)
  })
  it('sentences name the side', () => {
    for (const warning of warned(withCells({ arrow: radians(-130) })).warnings)
      expect(warningSentence(warning)).toMatch(/drive side|operator side/)
    expect(entriesOf(warned(zone).sides)).toHaveLength(2)
  })
})
