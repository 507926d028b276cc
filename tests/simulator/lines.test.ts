import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { parseConfig } from '../../gateway/config/load.ts'
import { type Expected, expectedOf } from '../../lib/geometry/expected.ts'
import { geometryFromConfig, usualState } from '../../lib/geometry/from-config.ts'
import { verificationContext } from '../../lib/verification/context.ts'
import { judgeTest } from '../../lib/verification/judge-test.ts'
import type { ZoneConfig } from '../../shared/schemas/config.ts'
import { TEST_IDS } from '../../shared/schemas/verification/test-ids.ts'
import { Machine } from '../../simulator/physics/machine.ts'
import { fastPaper } from '../../simulator/scenarios/fast-paper.ts'
import { install } from '../../simulator/scenarios/install.ts'
import { narrowFoil } from '../../simulator/scenarios/narrow-foil.ts'
import type { Scenario } from '../../simulator/scenarios/scenario.ts'
import { wideFilm } from '../../simulator/scenarios/wide-film.ts'
import { winder } from '../../simulator/scenarios/winder.ts'

const LINES = [wideFilm, narrowFoil, fastPaper, winder, install]

/** What the product expects of a line's zone at a tension and speed. */
function expectedAt({ configFile, id }: Scenario, tension: number, speed: number) {
  const { config } = parseConfig(readFileSync(configFile, 'utf8'), `${id}.yaml`)
  const zone = config.zones[0] as ZoneConfig
  const configured = geometryFromConfig(zone, new Map(config.channels.map((channel) => [channel.id, channel])))
  if (configured === undefined) throw new Error(`${id} has no geometry`)
  const state = { ...usualState(zone, configured), tension, speed, tensionRise: 0 }
  const result = expectedOf(configured.geometry, state)
  if (!result.possible) throw new Error(`${id}: ${result.fault.kind}`)
  return { zone: zone.id, expected: result.expected }
}

/** Means over some seconds of the line at a steady speed and tension. */
function runAt(scenario: Scenario, zone: string, tension: number, speed: number) {
  const programme = { startSpeed: speed, setTension: { [zone]: tension }, stages: [], repeat: false }
  const parameters = scenario.parameters()
  // The roll would grow while it is looked at.
  const winds = parameters.zones[zone]
  if (winds?.winding !== undefined) winds.winding.thickness = 0
  const machine = new Machine(parameters, programme, 11)
  const sum = { drive_side: 0, operator_side: 0 }
  const steps = 20_000
  for (let i = -5000; i < steps; i++) {
    const cells = machine.step(0.001).zones[zone]?.cells
    if (cells === undefined || i < 0) continue
    sum.drive_side += cells.drive_side.force / steps
    sum.operator_side += cells.operator_side.force / steps
  }
  return sum
}

const bothSides = (expected: Expected) => {
  if (!('drive_side' in expected.sides)) throw new Error('two cells were configured')
  return expected.sides
}
const usual: Readonly<Record<string, [tension: number, speed: number]>> = {
  'wide-film': [80, 4],
  'narrow-foil': [900, 1],
  'fast-paper': [220, 20],
  winder: [320, 4],
  install: [200, 4],
}

describe.each(LINES)('the line $id', (scenario) => {
  const [tension, speed] = usual[scenario.id] as [number, number]

  it('gives together what its drawing lets expect, within 1 % of it and the drag of the roller', {
    timeout: 60_000,
  }, () => {
    const { zone, expected } = expectedAt(scenario, tension, speed)
    const sides = bothSides(expected)
    const seen = runAt(scenario, zone, tension, speed)
    const told = sides.drive_side.force + sides.operator_side.force
    expect(Math.abs(seen.drive_side + seen.operator_side - told)).toBeLessThan(0.01 * told)
  })
})

// The winder's cells are its own trap: the largest tension with its overload goes beyond them.
describe.each(LINES.filter((line) => line !== winder))('the cells of the line $id', (scenario) => {
  it('are loaded within their capacity, their signals within range', () => {
    const { expected } = expectedAt(scenario, ...(usual[scenario.id] as [number, number]))
    const codes = new Set<string>(expected.warnings.map(({ code }) => code))
    for (const code of [
      'over-capacity',
      'signal-under-range',
      'signal-over-range',
      'arrow-off-target',
      'growth-over-clearance',
    ])
      expect(codes.has(code), code).toBe(false)
  })
})

describe('the traps of the lines', () => {
  const at = (scenario: Scenario) => expectedAt(scenario, ...(usual[scenario.id] as [number, number])).expected
  const offVertical = ({ wrap }: Expected) => {
    const off = Math.abs(Math.atan2(Math.cos(wrap.bisector), -Math.sin(wrap.bisector)))
    return (Math.min(off, Math.PI - off) * 180) / Math.PI
  }

  it('three bisectors lean at least 30° from vertical, so that gravity shows an arrow that is off', () => {
    for (const scenario of [wideFilm, narrowFoil, install]) expect(offVertical(at(scenario))).toBeGreaterThan(30)
    expect(offVertical(at(fastPaper))).toBeLessThan(15)
  })

  it('the wide film’s cells are too large, and its roller weighs more along them than the web pulls', () => {
    const expected = at(wideFilm)
    expect(expected.warnings.map(({ code }) => code)).toContain('cell-too-large')
    expect(expected.bareForce).toBeGreaterThan(expected.webForce)
  })

  it('the foil wraps its roller too little', () => {
    const expected = at(narrowFoil)
    expect(expected.warnings.map(({ code }) => code)).toContain('wrap-small')
    expect((expected.wrap.angle * 180) / Math.PI).toBeCloseTo(24.2, 1)
  })

  // 45 g/m² × 1.6 m × (20 m/s)².
  it('the paper’s momentum takes 28.8 N off its 220 N at 1200 m/min', () => {
    const fast = at(fastPaper)
    const slow = expectedAt(fastPaper, 220, 0).expected
    expect(fast.webForce / slow.webForce).toBeCloseTo(1 - 28.8 / 220, 6)
  })

  it('the fresh install warns of nothing', () => {
    expect(at(install).warnings).toEqual([])
  })

  it('the paper stage of a verification finds the traps that stand on paper, and none at the fresh install', () => {
    const outside = ({ configFile, id }: Scenario) => {
      const { config } = parseConfig(readFileSync(configFile, 'utf8'), `${id}.yaml`)
      const context = verificationContext(config, config.zones[0]?.id ?? '', 'drawn')
      const evidence = { phase: 'as-found', values: {}, captures: [], earlier: [], shift: null } as const
      const onPaper = TEST_IDS.filter((test) => test.startsWith('paper.'))
      return onPaper.filter((test) => judgeTest(context, test, evidence).state === 'outside')
    }
    expect(outside(wideFilm)).toEqual(['paper.capacity'])
    expect(outside(narrowFoil)).toEqual(['paper.geometry'])
    expect(outside(install)).toEqual([])
  })

  it('the fresh install waits: it stands, its web slack', () => {
    const machine = new Machine(install.parameters(), install.programme, 1)
    for (let i = 0; i < 3000; i++) machine.step(0.01)
    expect(machine.command).toMatchObject({ speed: 0, slack: true })
    expect(machine.state.zones['laminator-outfeed']?.tensionIn).toBe(0)
  })
})
