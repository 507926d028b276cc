import { describe, expect, it } from 'vitest'
import { Machine } from '../../simulator/physics/machine.ts'
import { demo } from '../../simulator/scenarios/demo.ts'
import { EXAMPLE_BOARD, EXAMPLE_DEVICES } from '../../simulator/scenarios/example-line.ts'
import { type DeviceSpec, FieldDevice } from '../../simulator/servers/field-device.ts'
import { iioRaw, iioScale } from '../../simulator/servers/iio-tree.ts'
import { STATUS } from '../../simulator/servers/personalities.ts'

const spec = (id: string): DeviceSpec => EXAMPLE_DEVICES.find((device) => device.id === id) as DeviceSpec

function rig(id: string) {
  const machine = new Machine(demo.parameters(), demo.programme, 1)
  return { machine, device: new FieldDevice(spec(id), () => machine.state) }
}
/** Two registers, least significant word first, as a float; written out here so as not to lean on the product's codec. */
function swappedFloat(words: readonly number[]): number {
  const bytes = Buffer.alloc(4)
  bytes.writeUInt16BE(words[1] as number, 0)
  bytes.writeUInt16BE(words[0] as number, 2)
  return bytes.readFloatBE(0)
}

describe('the float amplifier', () => {
  // libmodbus unit tests: 123456.0 with the words swapped is 2000 47F1 (V).
  it('swaps the words of a float', () => {
    const { device } = rig('amplifier')
    device.force('drive_side', 123456)
    expect(device.read('input', 0, 2)).toEqual([0x2000, 0x47f1])
  })

  it('holds what its map says, in its own units', () => {
    const { machine, device } = rig('amplifier')
    const { zones, speed, ambient } = machine.state
    const zone = zones['coater-outfeed']
    const image = device.read('input', 0, 11) as number[]
    expect(swappedFloat(image)).toBe(Math.fround(zone?.cells.drive_side.output ?? Number.NaN))
    expect(swappedFloat(image.slice(2))).toBe(Math.fround(zone?.cells.operator_side.output ?? Number.NaN))
    expect(swappedFloat(image.slice(4))).toBe(Math.fround(speed * 60))
    expect(swappedFloat(image.slice(6))).toBe(250)
    expect(swappedFloat(image.slice(8))).toBe(Math.fround(ambient))
    expect(image[10]).toBe(0)
  })

  it('has input registers 0 to 10 and nothing else', () => {
    const { device } = rig('amplifier')
    expect(device.read('input', 10, 1)).toHaveLength(1)
    expect(device.read('input', 10, 2)).toBeNull()
    expect(device.read('holding', 0, 1)).toBeNull()
  })

  it('says an open lead in its status word', () => {
    const { machine, device } = rig('amplifier')
    const cell = machine.parameters.zones['coater-outfeed']?.cells.operator_side
    if (cell !== undefined) cell.open = true
    for (let i = 0; i < 500; i++) machine.step(0.001)
    expect(device.read('input', 10, 1)).toEqual([STATUS.operatorSideOpen | STATUS.operatorSideSaturated])
  })
})

describe('the current module', () => {
  it('turns 4–20 mA loops into counts of a microampere, in both tables', () => {
    const { machine, device } = rig('module')
    const zone = machine.state.zones['edge-strip']
    const milliamps = (signal: number) => 4 + (16 * (signal + 0.4)) / 2
    const image = device.read('input', 0, 4) as number[]
    expect(image).toEqual(device.read('holding', 0, 4))
    expect(image[0]).toBe(Math.round(1000 * milliamps(zone?.cells.drive_side.output ?? 0)))
    expect(image[1]).toBe(Math.round(1000 * milliamps(zone?.cells.operator_side.output ?? 0)))
    // 240 m/min of 400: 4 + 16 × 0.6 = 13.6 mA; 60 N of 100 the same.
    expect(Math.abs((image[2] as number) - 13_600)).toBeLessThan(20)
    expect(image[3]).toBe(13_600)
  })

  // NAMUR NE 43: a failed transmitter gives 3.6 mA or less, a healthy one stays in 3.8 to 20.5 mA (V2).
  it('a wire break falls to the failure level, an overload stops at 20.5 mA', () => {
    const { machine, device } = rig('module')
    const zone = machine.parameters.zones['edge-strip']
    if (zone === undefined) throw new Error('no zone')
    zone.cells.drive_side.open = true
    zone.cells.operator_side.gain = 10
    for (let i = 0; i < 500; i++) machine.step(0.001)
    expect(device.read('input', 0, 2)).toEqual([3500, 20_500])
  })
})

describe('misbehaviour on demand', () => {
  it('hold repeats the registers of one instant until it is let go', () => {
    const { machine, device } = rig('amplifier')
    device.hold(true)
    const held = device.image()
    for (let i = 0; i < 100; i++) machine.step(0.001)
    expect(device.image()).toEqual(held)
    device.hold(false)
    expect(device.image()).not.toEqual(held)
  })

  it('a register can be forced, to NaN where its type has one, and given back', () => {
    const { device } = rig('amplifier')
    const healthy = device.image()
    device.force('operator_side', Number.NaN)
    expect(swappedFloat(device.image().slice(2))).toBeNaN()
    device.force('operator_side', null)
    expect(device.image()).toEqual(healthy)
    expect(() => rig('module').device.force('drive_side', Number.NaN)).toThrow(/NaN/)
    expect(() => device.force('nothing', 1)).toThrow(/has no register nothing; it has drive_side/)
  })
})

describe('the IIO board', () => {
  // sysfs-bus-iio ABI: (raw + offset) × scale is in millivolts.
  it('gives codes that read back as the amplifier’s volts within half a code', () => {
    for (const signal of [-2.4, -0.1, 0, 0.3, 1.04]) {
      const millivolts = (iioRaw(EXAMPLE_BOARD, signal) - 32_768) * iioScale(EXAMPLE_BOARD)
      expect(Math.abs(millivolts - signal * 4000)).toBeLessThanOrEqual(iioScale(EXAMPLE_BOARD) / 2 + 1e-9)
    }
    expect(iioRaw(EXAMPLE_BOARD, 99)).toBe(65_535)
    expect(iioRaw(EXAMPLE_BOARD, -99)).toBe(0)
  })
})
