import { afterEach, describe, expect, it } from 'vitest'
import type { GeometryConfigInput } from '../../shared/schemas/geometry.ts'
import type { ZoneNow } from '../../shared/schemas/now.ts'
import { COATER, COATER_DRAWING, demoConfig, WRONG_PATH } from './support/demo-line.ts'
import { type GatewayProcess, startGatewayProcess, untilAnswer } from './support/gateway.ts'
import { type SimulatorProcess, startSimulatorProcess } from './support/simulator.ts'

const ends: (() => Promise<unknown>)[] = []
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end()
})

interface Line {
  readonly simulator: SimulatorProcess
  readonly gateway: GatewayProcess
}

/** The simulator, which shares no geometry code with the product, and the gateway: two processes, real Modbus between them. */
async function line(geometry: GeometryConfigInput, scenario: string): Promise<Line> {
  const simulator = await startSimulatorProcess(scenario)
  ends.push(() => simulator.stop())
  const gateway = await startGatewayProcess(demoConfig(simulator, geometry))
  ends.push(() => gateway.stop())
  return { simulator, gateway }
}

const judgedAs = (gateway: GatewayProcess, state: string, withinMs = 60_000): Promise<ZoneNow> =>
  untilAnswer(
    () => gateway.now(COATER),
    (now) => now.agreement?.verdict.state === state,
    withinMs,
  )
const sides = (now: ZoneNow) => {
  if ('single' in now.sides) throw new Error('the coater has two cells')
  return now.sides
}

describe('expected against measured, on the simulator', () => {
  it('agrees with the drawing, and disagrees with a wrong path that is then written, naming the true one', async () => {
    const { gateway, simulator } = await line(COATER_DRAWING, 'demo')
    const right = await judgedAs(gateway, 'inside')
    expect(right.comparison?.candidates).toEqual([])
    expect((right.comparison?.wrap ?? 0) * (180 / Math.PI)).toBeCloseTo(104.1, 1)
    // Independent of the product: the tension of the simulator's own web.
    const { state } = await simulator.dump()
    const truth = state.zones[COATER]
    if (truth === undefined) throw new Error('the simulator has no coater')
    expect(Math.abs((right.total.value ?? 0) - truth.tensionIn)).toBeLessThan(2 * (right.total.U ?? 0))
    for (const side of [sides(right).drive_side, sides(right).operator_side]) {
      expect(Math.abs((side.force.value ?? 0) - (side.expected?.value ?? 0))).toBeLessThan(side.expected?.U ?? 0)
      // The channel reads what was expected of it, in its own unit.
      const expected = side.expectedSignal
      expect(expected?.unit).toBe('mV/V')
      expect(Math.abs((side.live.electrical ?? 0) - (expected?.value ?? 0))).toBeLessThan(2 * (expected?.U ?? 0))
    }

    const metrics = await (await fetch(`${gateway.address}/metrics`)).text()
    expect(metrics).toMatch(new RegExp(`^evenpull_agreement_newtons\\{zone="${COATER}"\\} -?\\d`, 'm'))
    expect(metrics).toContain(`evenpull_verdict{zone="${COATER}",figure="agreement",state="inside"} 1`)

    gateway.write(demoConfig(simulator, WRONG_PATH))
    const wrong = await judgedAs(gateway, 'outside')
    expect(wrong.comparison?.candidates[0]?.words).toBe('chill roller passed on the other side')

    gateway.write(demoConfig(simulator, COATER_DRAWING))
    expect((await judgedAs(gateway, 'inside')).comparison?.candidates).toEqual([])
  }, 200_000)

  it('follows the speed by the web’s momentum: 100 times the weight, from standstill to 4 m/s', async () => {
    // 4 kg/m² of 1.3 m: m·v² is 5.2 × 16 = 83.2 N at 4 m/s and nothing standing.
    const { gateway, simulator } = await line({ ...COATER_DRAWING, basis_weight_gsm: 4000 }, 'start-stop')
    await simulator.ask({ do: 'set', path: `zones.${COATER}.web.basisWeight`, value: 4 })
    const standing = await untilAnswer(
      () => gateway.now(COATER),
      (now) => now.agreement?.verdict.state === 'inside' && (now.aux.speed?.value ?? 1) < 0.001,
      100_000,
    )
    expect(standing.comparison?.momentum).toBeCloseTo(0, 3)
    const running = await untilAnswer(
      () => gateway.now(COATER),
      (now) => now.agreement?.verdict.state === 'inside' && (now.aux.speed?.value ?? 0) > 3.99,
      150_000,
    )
    expect(running.comparison?.momentum).toBeCloseTo(83.2, -0.5)
    const pressing = (running.expected?.value ?? 0) - 83.2
    const expected =
      (sides(running).drive_side.expected?.value ?? 0) + (sides(running).operator_side.expected?.value ?? 0)
    // Both arrows stand on the bisector within a degree: k = 2 sin(104.1°/2).
    expect(expected / pressing).toBeCloseTo(2 * Math.sin((52.05 * Math.PI) / 180), 1)
  }, 300_000)
})
