import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { parseConfig } from '../../gateway/config/load.ts'
import { decodeRegister } from '../../lib/codec/decode.ts'
import { electricalOf, siValueOf } from '../../lib/scale/channel-scale.ts'
import type { ChannelConfig } from '../../shared/schemas/config.ts'
import { contactArc } from '../../simulator/physics/layout.ts'
import { Machine } from '../../simulator/physics/machine.ts'
import { length } from '../../simulator/physics/vector.ts'
import { integrateWrap, tabulateWrap } from '../../simulator/physics/wrap.ts'
import { demo } from '../../simulator/scenarios/demo.ts'
import { SCENARIOS } from '../../simulator/scenarios/registry.ts'
import type { Scenario } from '../../simulator/scenarios/scenario.ts'
import { FieldDevice } from '../../simulator/servers/field-device.ts'
import { configWithAddresses } from '../../simulator/write-config.ts'

const textOf = ({ configFile, id }: Scenario) => ({ text: readFileSync(configFile, 'utf8'), name: `${id}.yaml` })

/** A scenario, its config, and what the one makes of the other's wire. */
function plantOf(scenario: Scenario) {
  const { text, name } = textOf(scenario)
  const { config } = parseConfig(text, name)
  const channel = (id: string) => config.channels.find((candidate) => candidate.id === id) as ChannelConfig
  const specOf = (id: string) => scenario.devices.find((device) => device.id === id)

  /** Value in SI (and the reading before it) that the config makes of what is on the wire now. */
  function readBack(id: string, devices: readonly FieldDevice[]): { reading: number; value: number } {
    const described = channel(id)
    const device = devices.find((candidate) => candidate.spec.id === described.device)
    const { register } = described
    if (device === undefined || register === undefined || typeof register.address !== 'number') throw new Error(id)
    const words = device.read(register.function === 3 ? 'holding' : 'input', register.address, 2) ?? []
    const only = words.length > 0 ? words : (device.read('input', register.address, 1) ?? [])
    const raw = decodeRegister(only, 0, register.type, register.order)
    if (raw === null) throw new Error(`${id} has no registers`)
    const reading = electricalOf(described, raw) ?? raw
    return { reading, value: siValueOf(described, reading) }
  }
  return { text, config, channel, specOf, readBack }
}

const { text, config, channel, readBack } = plantOf(demo)

describe.each(SCENARIOS)('the config of the scenario $id and what is on the wire', (scenario) => {
  const plant = plantOf(scenario)

  it('every channel names a register the device really has, with its type, order and unit id', () => {
    for (const { id, device, register } of plant.config.channels) {
      const spec = plant.specOf(device)
      const field = spec?.personality.fields.find((candidate) => candidate.address === register?.address)
      expect(field, id).toBeDefined()
      expect({ type: register?.type, order: register?.order, unit: register?.unit_id }, id).toEqual({
        type: field?.type,
        order: field?.order,
        unit: spec?.unitId,
      })
    }
  })

  it('zeros are the bare roller’s readings: a slack web reads as no force within 0.1 % of capacity', {
    timeout: 60_000,
  }, () => {
    const slack = {
      ...scenario.programme,
      startSpeed: 0,
      repeat: false,
      stages: [{ seconds: 60, speed: 0, slack: true }],
    }
    const machine = new Machine(scenario.parameters(), slack, 3)
    const devices = scenario.devices.map((spec) => new FieldDevice(spec, () => machine.state))
    for (let i = 0; i < 25_000; i++) machine.step(0.001)
    for (const { id, force } of plant.config.channels.filter(({ measures }) => measures === 'force')) {
      const samples = Array.from({ length: 200 }, () => {
        for (let i = 0; i < 25; i++) machine.step(0.001)
        return plant.readBack(id, devices).value
      })
      const mean = samples.reduce((a, b) => a + b, 0) / samples.length
      expect(Math.abs(mean), id).toBeLessThan(0.001 * (force?.capacity ?? 0))
    }
  })

  it('cell distances, web widths and web offsets are the plant’s', () => {
    for (const zone of plant.config.zones) {
      const built = scenario.parameters().zones[zone.id]
      expect(zone).toMatchObject({ cell_distance_m: built?.cellDistance, web_width_m: built?.web.width })
      expect(zone.web_offset_m).toBeCloseTo(built?.web.offset ?? Number.NaN, 12)
    }
  })
})

describe('the demo’s config and what is on the wire', () => {
  it('devices stand at the documented ports, the amplifier at 100 a second, the module at 20', () => {
    const stand = config.devices.map((d) => (d.transport === 'modbus-tcp' ? [d.id, d.host, d.port, d.rate_hz] : []))
    expect(stand).toEqual([
      ['amplifier', '127.0.0.1', 15_020, 100],
      ['module', '127.0.0.1', 15_021, 20],
    ])
    for (const device of demo.devices)
      expect(stand.some(([id, , port]) => id === device.id && port === device.port)).toBe(true)
  })

  it('gains follow from rated output and capacity of the cells, within their stated uncertainty', () => {
    const lines = demo.parameters().zones
    // Current loops: 2 mV/V over 16 mA.
    const expected: [string, number][] = [
      ['coater-ds', 500 / 2.003],
      ['coater-os', 500 / 1.998],
      ['strip-ds', ((100 / 2) * 2) / 16],
      ['strip-os', ((100 / 2) * 2) / 16],
    ]
    for (const [id, gain] of expected) expect(Math.abs((channel(id).force?.gain ?? 0) / gain - 1)).toBeLessThan(1e-4)
    for (const zone of Object.values(lines)) {
      for (const cell of Object.values(zone.cells)) expect(Math.abs(cell.gain - 1)).toBeLessThan(0.002)
    }
  })

  it('force factors are what integrating pressure over the wrap gives per newton of tension', () => {
    for (const { id, force_factor } of config.zones) {
      const path = demo.parameters().zones[id]?.path
      if (path === undefined) throw new Error(id)
      const table = tabulateWrap(contactArc(path.before, path.measuring, path.after), 400)
      const sum = integrateWrap(table, { tensionIn: 1, tensionRise: 0, momentum: 0, friction: 0.3 })
      expect(Math.abs(length(sum.fromTension) / (force_factor as number) - 1), id).toBeLessThan(5e-4)
    }
  })

  it('read through the config, the running demo is healthy and a little uneven', { timeout: 60_000 }, () => {
    const machine = new Machine(demo.parameters(), demo.programme, 1)
    const devices = demo.devices.map((spec) => new FieldDevice(spec, () => machine.state))
    const rows = Array.from({ length: 600 }, () => {
      for (let i = 0; i < 50; i++) machine.step(0.001)
      return config.channels.map(({ id }) => [id, readBack(id, devices).value] as const)
    })
    const mean = (id: string) =>
      rows.reduce((sum, row) => sum + (row.find(([name]) => name === id)?.[1] ?? Number.NaN), 0) / rows.length
    const tension = (mean('coater-ds') + mean('coater-os')) / 1.577
    expect(Math.abs(tension - 250)).toBeLessThan(0.01 * 250)
    const imbalance = (mean('coater-os') - mean('coater-ds')) / (mean('coater-os') + mean('coater-ds'))
    expect(imbalance).toBeGreaterThan(0.025)
    expect(imbalance).toBeLessThan(0.05)
    expect(mean('coater-set')).toBeCloseTo(250, 3)
    expect(mean('line-speed')).toBeCloseTo(4, 1)
    expect(Math.abs((mean('strip-ds') + mean('strip-os')) / 1.547 - 60)).toBeLessThan(0.02 * 60)
    expect(mean('strip-set')).toBeCloseTo(60, 1)
    expect(mean('strip-speed')).toBeCloseTo(4, 1)
    expect(mean('hall-temperature')).toBeGreaterThan(20)
    expect(mean('hall-temperature')).toBeLessThan(30)
  })
})

describe('the config with other addresses', () => {
  it('changes host and port of the devices named and keeps everything else, comments too', () => {
    const changed = configWithAddresses(text, [
      { id: 'amplifier', host: '127.0.0.2', port: 4001 },
      { id: 'module', host: '::1', port: 4002 },
    ])
    const { config: other } = parseConfig(changed, 'other.yaml')
    expect(other.devices.map((d) => (d.transport === 'modbus-tcp' ? [d.host, d.port] : []))).toEqual([
      ['127.0.0.2', 4001],
      ['::1', 4002],
    ])
    expect({ ...other, devices: [] }).toEqual({ ...config, devices: [] })
    expect(changed).toContain('# Coater outfeed: float32, words swapped.')
    expect(() => configWithAddresses(text, [{ id: 'third', host: 'h', port: 1 }])).toThrow(/no device third/)
  })
})
