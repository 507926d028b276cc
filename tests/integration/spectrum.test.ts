import { afterEach, describe, expect, it } from 'vitest'
import type { SpectralLineView, ZoneSpectrum } from '../../shared/schemas/spectrum.ts'
import { COATER, COATER_DRAWING, demoConfig } from './support/demo-line.ts'
import { startGatewayProcess, untilAnswer } from './support/gateway.ts'
import { startSimulatorProcess } from './support/simulator.ts'

const ends: (() => Promise<unknown>)[] = []
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end()
})

const RATE = 80

const lineNear = (spectrum: ZoneSpectrum, side: 'drive_side' | 'operator_side', hz: number) => {
  const view = spectrum.signals[side]
  if (view?.state !== 'told') return undefined
  return view.lines.find((line) => Math.abs(line.frequencyHz - hz) < view.resolutionHz)
}

describe('the spectrum of a simulated machine, over real Modbus', () => {
  it('finds runout at the turn of the measuring roller and mains pickup at its alias, and names both', {
    timeout: 120_000,
  }, async () => {
    const simulator = await startSimulatorProcess('demo')
    ends.push(() => simulator.stop())
    // A poor screen: ten times the pickup. The amplifier's filter (20 Hz, second order) leaves 0.16 of it at 50 Hz.
    for (const side of ['drive_side', 'operator_side'])
      await simulator.ask({ do: 'set', path: `zones.${COATER}.cells.${side}.mainsPickup`, value: 4e-3 })
    const config = demoConfig(simulator, COATER_DRAWING)
    const devices = config.devices.map((one) => (one.id === 'amplifier' ? { ...one, rate_hz: RATE } : one))
    const gateway = await startGatewayProcess({ ...config, devices })
    ends.push(() => gateway.stop())

    const status = async (path: string) => (await fetch(gateway.address + path)).status
    expect(await status(`/api/zones/${COATER}/spectrum?seconds=601`)).toBe(400)
    expect(await status('/api/zones/nowhere/spectrum')).toBe(404)

    const { state } = await simulator.dump()
    // By hand: the demo begins at 240 m/min: 4/(π·0.15) = 8.488 Hz; its mains runs at 49.98 Hz: |49.98 − 80| = 30.02 Hz.
    expect(state.speed).toBeCloseTo(4, 1)
    const [turn, mains] = [8.488, 30.02]
    const both = ({ signals }: ZoneSpectrum) =>
      (['drive_side', 'operator_side'] as const).every((side) => {
        const view = signals[side]
        const lines = view?.state === 'told' ? view.lines : []
        return [turn, mains].every((hz) => lines.some(({ frequencyHz }) => Math.abs(frequencyHz - hz) < 0.3))
      })
    const spectrum = await untilAnswer(
      () => gateway.get<ZoneSpectrum>(`/api/zones/${COATER}/spectrum?seconds=30`),
      (told) => 'signals' in told && both(told),
      100_000,
    )
    expect(spectrum.speed.turnHz).toBeCloseTo(turn, 1)
    for (const side of ['drive_side', 'operator_side'] as const) {
      const found = (hz: number): SpectralLineView => {
        const line = lineNear(spectrum, side, hz)
        if (line === undefined) throw new Error(`${side}: no line at ${hz} Hz`)
        return line
      }
      expect(found(turn).candidates.map(({ words }) => words)).toContain('once a turn of the measuring roller')
      expect(found(mains).candidates[0]).toMatchObject({ words: 'mains at 50 Hz', folded: true })
      // At most 4e−3 mV/V × 250 N per mV/V × 1/√(1 + (49.98/20)⁴) = 0.158 N; a busy machine answers late and takes some of it.
      const { amplitude, U } = found(mains)
      expect(amplitude).toBeGreaterThan(0)
      expect(amplitude).toBeLessThan(0.158 + 2 * (U ?? 0))
    }
  })
})
