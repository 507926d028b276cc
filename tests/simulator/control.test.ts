import { describe, expect, it } from 'vitest'
import { EvenpullError } from '../../shared/errors.ts'
import { runControlLine } from '../../simulator/control.ts'
import { Engine } from '../../simulator/engine.ts'
import { Faults } from '../../simulator/faults/faults.ts'
import { parseOptions } from '../../simulator/options.ts'
import { Machine } from '../../simulator/physics/machine.ts'
import { demo } from '../../simulator/scenarios/demo.ts'
import { findScenario } from '../../simulator/scenarios/registry.ts'
import { FieldDevice } from '../../simulator/servers/field-device.ts'
import { ACTS } from '../../simulator/technician/registry.ts'
import { Technician } from '../../simulator/technician/technician.ts'

function rig(timeScale = 1) {
  const clock = { now: 1000 }
  const machine = new Machine(demo.parameters(), demo.programme, 1)
  const engine = new Engine(machine, () => clock.now, { step: 0.001, timeScale })
  const devices = demo.devices.map((spec) => new FieldDevice(spec, () => engine.state()))
  const start = machine.state.time
  const technician = new Technician(machine, 1)
  const faults = new Faults(machine, demo.programme, 1)
  return { clock, machine, engine, devices, technician, faults, passed: () => engine.state().time - start }
}

describe('simulated time', () => {
  it('follows the clock to the step, however unevenly it is looked at', () => {
    const { clock, passed } = rig()
    for (const pause of [0.0004, 0.0137, 0.25, 0.0001, 1.3]) {
      clock.now += pause
      expect(Math.abs(passed() - (clock.now - 1000))).toBeLessThanOrEqual(0.001 + 1e-9)
    }
  })

  it('runs faster by the time scale', () => {
    const { clock, passed } = rig(20)
    clock.now += 0.5
    expect(passed()).toBeCloseTo(10, 2)
  })

  it('stands while paused and goes on from there', () => {
    const { clock, engine, passed } = rig()
    engine.pause()
    clock.now += 3
    expect(passed()).toBe(0)
    engine.resume()
    clock.now += 0.5
    expect(passed()).toBeCloseTo(0.5, 2)
  })

  it('a process held up for long skips the gap and says how much', () => {
    const { clock, engine, passed } = rig()
    clock.now += 3600
    expect(passed()).toBeLessThan(1)
    expect(engine.skippedSeconds).toBeCloseTo(3600, 6)
    clock.now += 0.2
    expect(passed()).toBeCloseTo(0.2, 2)
  })
})

describe('control lines', () => {
  const ask = (parts: ReturnType<typeof rig>, command: unknown) => runControlLine(JSON.stringify(command), parts)

  it('a parameter changes the very next step', () => {
    const parts = rig()
    expect(ask(parts, { do: 'set', path: 'zones.edge-strip.cells.drive_side.open', value: true })).toEqual({ ok: true })
    parts.clock.now += 0.5
    expect(parts.devices[1]?.read('input', 0, 1)).toEqual([3500])
  })

  it('a roller can be moved; one the web cannot reach is refused and stays where it was', () => {
    const parts = rig()
    const path = 'zones.coater-outfeed.path.after.centre.y'
    expect(ask(parts, { do: 'set', path, value: -0.4 })).toEqual({ ok: true })
    expect(ask(parts, { do: 'set', path, value: 3 })).toMatchObject({ ok: false })
    expect(parts.machine.parameters.zones['coater-outfeed']?.path.after.centre.y).toBe(-0.4)
  })

  it.each([
    [{ do: 'set', path: 'zones.nowhere.roller.mass', value: 1 }, /"nowhere" is not there/],
    [{ do: 'set', path: 'zones.__proto__.x', value: 1 }, /"__proto__" is not there/],
    [{ do: 'set', path: 'mainsHz', value: 'fast' }, /mainsHz is a number, not a string/],
    [{ do: 'hold', device: 'other', on: true }, /no device other; there are amplifier, module/],
    [{ do: 'dance' }, /./],
  ])('%j is refused with a reason', (command, reason) => {
    expect(ask(rig(), command)).toMatchObject({ ok: false, error: expect.stringMatching(reason) })
  })

  it('an act is done at the machine: what was seen, what it cost, how the machine is now', () => {
    const parts = rig()
    expect(ask(parts, { do: 'act', act: 'stop' })).toMatchObject({ ok: true, seconds: 26, state: { power: 'stopped' } })
    ask(parts, { do: 'act', act: 'lock-out' })
    expect(ask(parts, { do: 'act', act: 'measure-arrow', side: 'drive_side' })).toMatchObject({
      ok: true,
      observation: { readings: [{ figure: 'arrow-angle', side: 'drive_side', unit: '°' }] },
      state: { power: 'locked out', guards: 'open', web: 'slack', driveEnabled: false },
    })
  })

  it('a push shows on the wire while the product watches', () => {
    const parts = rig()
    const signal = () => parts.machine.state.zones['coater-outfeed']?.cells.operator_side.output ?? Number.NaN
    for (const act of ['stop', 'lock-out', 'take-web-off']) ask(parts, { do: 'act', act })
    const before = signal()
    ask(parts, { do: 'act', act: 'push-end', side: 'operator_side', newtons: 100 })
    // 100 N on a cell of 500 N at 1.998 mV/V, within its noise.
    expect(signal() - before).toBeCloseTo((100 / 500) * 1.998, 2)
    parts.clock.now += 1
    expect(parts.devices[0]?.read('input', 2, 2)).toHaveLength(2)
    expect(signal() - before).toBeCloseTo((100 / 500) * 1.998, 2)
  })

  it('an unsafe act is not done, and says why', () => {
    expect(ask(rig(), { do: 'act', act: 'hang-weight', kg: 10 })).toMatchObject({
      ok: false,
      refused: { unsafe: true, reason: 'the machine is running: nobody works at it; stop it first' },
      state: { power: 'running' },
      tally: { unsafe: 1 },
    })
  })

  it('the acts can be listed, with the arguments each one takes', () => {
    const { acts } = ask(rig(), { do: 'acts' }) as { acts: { id: string; seconds: number; args: object }[] }
    expect(acts.map(({ id }) => id)).toEqual(Object.keys(ACTS))
    expect(acts.find(({ id }) => id === 'hang-weight')?.args).toMatchObject({ required: ['kg'] })
  })

  it('the line is taken over and given back', () => {
    const parts = rig()
    expect(ask(parts, { do: 'manual', on: true })).toMatchObject({ ok: true, state: { power: 'running' } })
    expect(parts.machine.manual).not.toBeNull()
    expect(ask(parts, { do: 'manual', on: false })).toMatchObject({ ok: true })
    expect(parts.machine.manual).toBeNull()
  })

  it('what is not JSON is refused too', () => {
    expect(runControlLine('{', rig())).toMatchObject({ ok: false })
  })
})

describe('command line', () => {
  it('takes everything it offers', () => {
    const words = 'demo --host 0.0.0.0 --port 0 --port2 1502 --seed 9 --rtu /dev/pts/9 --baud 19200 --iio /tmp/x --json'
    expect(parseOptions([...words.split(' '), '--control', '--time-scale', '2.5', '--write-config', 'c.yaml'])).toEqual(
      {
        scenario: 'demo',
        host: '0.0.0.0',
        ports: [0, 1502],
        seed: 9,
        rtuPath: '/dev/pts/9',
        baud: 19_200,
        iioFolder: '/tmp/x',
        writeConfig: 'c.yaml',
        json: true,
        control: true,
        timeScale: 2.5,
      },
    )
    expect(parseOptions(['--help'])).toBe('help')
    expect(parseOptions(['--list'])).toBe('list')
  })

  it.each([
    [[], /name a scenario/],
    [['demo', 'extra'], /extra/],
    [['demo', '--port', '70000'], /--port: expected a whole number from 0 to 65535, got "70000"/],
    [['demo', '--seed', '-1'], /seed/],
    [['demo', '--time-scale', '0'], /--time-scale/],
    [['demo', '--unheard-of'], /unheard-of/],
  ])('%j is refused by name', (words, reason) => {
    expect(() => parseOptions(words)).toThrow(reason)
    expect(() => parseOptions(words)).toThrow(EvenpullError)
  })

  it('an unknown scenario is refused with the list of those there are', () => {
    expect(() => findScenario('other')).toThrow(/demo: .*\n.*start-stop: /)
  })
})

describe('faults by control line', () => {
  it('are put in, told with the state and taken out; a wrong one says why', () => {
    const { machine, ...parts } = rig()
    const line = (said: object) =>
      runControlLine(JSON.stringify(said), { machine, ...parts }) as Record<string, unknown>
    const zone = 'coater-outfeed'
    const gain = () => machine.parameters.zones[zone]?.cells.drive_side.gain
    const before = gain()
    const fault = { fault: 'gain-one-side', zone, side: 'drive_side', severity: 10 }
    expect(line({ do: 'fault', fault })).toMatchObject({ ok: true })
    expect(gain()).toBeCloseTo((before ?? 0) * 1.1, 9)
    expect(line({ do: 'state' })).toMatchObject({ faults: [{ ...fault, onset: { kind: 'constant' }, mended: false }] })
    expect(line({ do: 'fault', fault: { ...fault, side: null } })).toMatchObject({ ok: false })
    expect(line({ do: 'fault', fault: { ...fault, fault: 'gremlins' } })).toMatchObject({ ok: false })
    expect(line({ do: 'clear-faults' })).toMatchObject({ ok: true, faults: [] })
    expect(gain()).toBe(before)
  })
})
