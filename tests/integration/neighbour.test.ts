import { readFileSync } from 'node:fs'
import { afterEach, describe, expect, it } from 'vitest'
import { parse } from 'yaml'
import type { ConfigInput } from '../../shared/schemas/config.ts'
import type { ZoneNow } from '../../shared/schemas/now.ts'
import { WINDER, winder } from '../../simulator/scenarios/winder.ts'
import { configWithAddresses } from '../../simulator/write-config.ts'
import { type GatewayProcess, startGatewayProcess, untilAnswer } from './support/gateway.ts'
import { type SimulatorProcess, startSimulatorProcess } from './support/simulator.ts'

const ends: (() => Promise<unknown>)[] = []
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end()
})

const CORE = 0.16
const FULL = 1.12
const THICKNESS = `zones.${WINDER}.winding.thickness`

/** The winder's config on a running simulator; with `typed`, its diameter is typed and the channel is not followed. */
function winderConfig(simulator: SimulatorProcess, typed?: number): ConfigInput {
  const addresses = [{ id: 'amplifier', host: '127.0.0.1', port: simulator.portOf('amplifier') }]
  const config = parse(configWithAddresses(readFileSync(winder.configFile, 'utf8'), addresses)) as ConfigInput
  return {
    ...config,
    zones: config.zones.map((zone) => {
      const short = { ...zone, average_s: 3, drift_s: 60 }
      const { geometry, neighbour: _followed, ...rest } = short
      if (typed === undefined || geometry?.moving?.kind !== 'winding-roll') return short
      return { ...rest, geometry: { ...geometry, moving: { ...geometry.moving, now_mm: typed } } }
    }),
  }
}

async function gatewayOn(config: ConfigInput): Promise<GatewayProcess> {
  const gateway = await startGatewayProcess(config)
  ends.push(() => gateway.stop())
  return gateway
}

const stateOf = (now: ZoneNow) => now.agreement?.verdict.state
const expectedForce = ({ sides }: ZoneNow) =>
  'single' in sides
    ? Number.NaN
    : (sides.drive_side.expected?.value ?? Number.NaN) + (sides.operator_side.expected?.value ?? Number.NaN)
const diameterOf = (now: ZoneNow) => now.aux.neighbour?.value ?? Number.NaN

describe('a roll that winds beside the measuring roller', () => {
  it('followed from core to full, agreement stays inside; with the core typed, it leaves and says so', async () => {
    const simulator = await startSimulatorProcess('winder')
    ends.push(() => simulator.stop())
    // Next to the core until both gateways have looked, however long they take to start.
    await simulator.ask({ do: 'set', path: THICKNESS, value: 1e-6 })
    const [followed, typed] = await Promise.all([
      gatewayOn(winderConfig(simulator)),
      gatewayOn(winderConfig(simulator, 1000 * CORE)),
    ])
    const both = () => Promise.all([followed.now(WINDER), typed.now(WINDER)])
    const [atCore, typedAtCore] = await untilAnswer(both, (now) => now.every((one) => stateOf(one) === 'inside'))
    // By hand: arrows straight down feel 1.4 (T − m·v²) at the core; 320 N, 0.24 kg/m² × 1.2 m × (4 m/s)² = 4.6 N.
    expect(Math.abs(expectedForce(atCore) / (factorAt(diameterOf(atCore)) * 315.4) - 1)).toBeLessThan(0.02)
    expect(Math.abs(expectedForce(typedAtCore) / (1.4 * 315.4) - 1)).toBeLessThan(0.02)

    // Board of 16 mm is not real: it makes the roll full in a quarter of a minute.
    const seen: (string | undefined)[] = []
    for (const diameter of [0.4, 0.6, 0.8, 0.9 * FULL]) {
      await simulator.ask({ do: 'set', path: THICKNESS, value: 0.016 })
      const now = await untilAnswer(
        async () => {
          const one = await followed.now(WINDER)
          seen.push(stateOf(one))
          return one
        },
        (one) => diameterOf(one) > diameter,
        60_000,
      )
      await simulator.ask({ do: 'set', path: THICKNESS, value: 1e-6 })
      await untilAnswer(
        () => followed.now(WINDER),
        (one) => stateOf(one) === 'inside' && diameterOf(one) >= diameterOf(now),
      )
    }
    expect(seen).toContain('inside')
    expect(seen).not.toContain('outside')

    // At rest near the full roll every figure is of one diameter again.
    const [full, typedAtFull] = await untilAnswer(both, ([one]) => {
      const wrap = ((one?.comparison?.wrap ?? 0) * 180) / Math.PI
      return Math.abs(wrap - wrapAt(diameterOf(one as ZoneNow))) < 0.05
    })
    expect(stateOf(full)).toBe('inside')
    expect(Math.abs(expectedForce(full) / (factorAt(diameterOf(full)) * 315.4) - 1)).toBeLessThan(0.02)
    const { state } = await simulator.dump()
    const truth = state.zones[WINDER]?.tensionIn ?? Number.NaN
    expect(Math.abs((full.total.value ?? 0) - truth)).toBeLessThan(2 * (full.total.U ?? 0))

    // Not followed, the same wire reads as a quarter of the tension missing, and more.
    expect(stateOf(typedAtFull)).toBe('outside')
    expect(typedAtFull.comparison?.percent).toBeLessThan(-25)
    expect(Math.abs(expectedForce(typedAtFull) / (1.4 * 315.4) - 1)).toBeLessThan(0.02)
  }, 120_000)
})

/** The span to the roll turns out of the line of centres, which falls at 3 : 4, by asin((R − r)/D); r 80 mm, D 800 mm. */
const turned = (diameter: number) => Math.asin((diameter / 2 - 0.08) / 0.8)
const wrapAt = (diameter: number) => 90 - (turned(diameter) * 180) / Math.PI
const factorAt = (diameter: number) => 0.6 + 0.8 * Math.cos(turned(diameter)) - 0.6 * Math.sin(turned(diameter))
