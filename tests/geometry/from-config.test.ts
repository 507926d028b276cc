import { describe, expect, it } from 'vitest'
import { trioOf } from '../../lib/geometry/description.ts'
import { expectedOf } from '../../lib/geometry/expected.ts'
import { type ConfiguredGeometry, geometryFromConfig, givenAt, usualState } from '../../lib/geometry/from-config.ts'
import { geometryInputs, type InputKey } from '../../lib/geometry/uncertain-inputs.ts'
import { COATER_GEOMETRY, WINDER_GEOMETRY, type ZoneInput, zoneWith } from './configured.ts'

function configured(zone: Partial<ZoneInput>): ConfiguredGeometry {
  const given = zoneWith(zone)
  const made = geometryFromConfig(given.zone, given.channels)
  if (made === undefined) throw new Error('the zone has no geometry')
  return made
}
const inDegrees = (rad: number) => (rad * 180) / Math.PI

describe('a zone’s geometry from its config', () => {
  it('is nothing for a zone without geometry', () => {
    const { zone, channels } = zoneWith({})
    expect(geometryFromConfig(zone, channels)).toBeUndefined()
  })

  it('turns millimetres, degrees, grams and minutes into SI', () => {
    const { geometry } = configured({ geometry: COATER_GEOMETRY })
    expect(geometry.path.before[0]).toEqual({
      name: 'guide roller',
      centre: { x: -0.62, y: -0.32 },
      radius: 0.06,
      turn: 1,
    })
    expect(geometry.path.measuring.turn).toBe(-1)
    expect(geometry.web).toEqual({ width: 1.3, basisWeight: 0.04 })
    expect(geometry.load.fastestSpeed).toBeCloseTo(5, 12)
    expect(geometry.cellDistance).toBe(1.6)
    if ('single' in geometry.cells) throw new Error('two cells were given')
    expect(inDegrees(geometry.cells.drive_side.arrow)).toBeCloseTo(-103, 10)
    expect(geometry.cells.operator_side.capacity).toBe(500)
  })

  it('gives the wrap of the drawing: 104.1°, worked out by hand from the three circles', () => {
    const { zone, channels } = zoneWith({ geometry: COATER_GEOMETRY })
    const made = geometryFromConfig(zone, channels)
    if (made === undefined) throw new Error('the zone has no geometry')
    const result = expectedOf(made.geometry, usualState(zone, made))
    if (!result.possible) throw new Error('the layout is possible')
    expect(inDegrees(result.expected.wrap.angle)).toBeCloseTo(104.1, 1)
  })

  it('gives the uncertainties to the inputs they are of, in SI, with the common-practice defaults where nothing is written', () => {
    const made = configured({ geometry: COATER_GEOMETRY })
    const given = givenAt(made, 180)
    const u = (key: InputKey) => given[key]?.u ?? Number.NaN
    for (const key of ['before.x', 'before.y', 'measuring.x', 'after.y'] as const) expect(u(key)).toBeCloseTo(0.001, 12)
    expect(u('after.radius')).toBeCloseTo(0.0002, 12)
    expect(inDegrees(u('arrow.operator_side'))).toBeCloseTo(0.5, 12)
    expect(u('mass')).toBeCloseTo(0.14, 12)
    expect(u('basisWeight')).toBeCloseTo(0.0008, 12)
    expect(u('tension')).toBeCloseTo(1.8, 12)
    expect(u('lineOfPull')).toBeCloseTo(0.005, 12)
    const inputs = geometryInputs(made.geometry, usualState(zoneWith({}).zone, made), given).inputs
    for (const key of Object.keys(given)) expect(inputs.map((input) => input.key)).toContain(key)
  })

  it('takes a reference’s own uncertainty, and its share of any other tension', () => {
    const made = configured({ geometry: COATER_GEOMETRY })
    expect(givenAt(made, 240).tension?.u).toBeCloseTo(2.4, 12)
    expect(givenAt(made, 240, { u: 0.7, source: 'set in the config' }).tension?.u).toBe(0.7)
  })

  it('lets the line of pull run as far as the limit of the side difference: 10 % of 0.8 m beside the web', () => {
    const [drive, operator] = configured({ geometry: COATER_GEOMETRY }).geometry.load.linesOfPull
    expect(drive).toBeCloseTo(-0.06, 12)
    expect(operator).toBeCloseTo(0.1, 12)
  })

  it('takes a winding roll by its diameter and puts it there', () => {
    const made = configured({ geometry: WINDER_GEOMETRY })
    expect(made.typedNeighbour).toBeCloseTo(0.15, 12)
    expect(trioOf(made.geometry, made.typedNeighbour).after.radius).toBeCloseTo(0.15, 12)
    expect(made.geometry.moving).toMatchObject({ coreRadius: 0.045, fullRadius: 0.3 })
  })

  it('says whether a signal may be told, and takes the output as described', () => {
    expect(configured({ geometry: COATER_GEOMETRY }).tellsSignal).toBe(false)
    const amplifier = { kind: '4-20mA' as const, full_scale_n: 400 }
    const made = configured({
      geometry: { ...COATER_GEOMETRY, output: { drive_side: amplifier, operator_side: amplifier } },
    })
    expect(made.tellsSignal).toBe(true)
    if ('single' in made.geometry.cells) throw new Error('two cells were given')
    expect(made.geometry.cells.drive_side.chain).toEqual({
      kind: '4-20mA',
      fullScaleForce: 400,
      zeroedOn: 'bare roller',
    })
  })

  it('aims at the bisector of a chosen diameter where the roll grows', () => {
    const target = { kind: 'bisector-at' as const, neighbour: 345 }
    const { geometry } = configured({ geometry: { ...WINDER_GEOMETRY, target } })
    expect(geometry.target).toEqual({ kind: 'bisector-at', neighbour: expect.closeTo(0.1725, 12) })
  })

  it('refuses two cells without their distance, and grams without a width', () => {
    const without = (zone: Partial<ZoneInput>) => () => configured({ geometry: COATER_GEOMETRY, ...zone })
    expect(without({ cell_distance_m: undefined })).toThrow('two cells need the distance')
    expect(without({ web_width_m: undefined })).toThrow('need its width')
  })
})
