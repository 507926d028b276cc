import { describe, expect, test } from 'vitest'
import { stringify } from 'yaml'
import { parseConfig } from '../../gateway/config/load.ts'
import type { GeometryConfigInput } from '../../shared/schemas/geometry.ts'
import { COATER_GEOMETRY, configWith, WINDER_GEOMETRY, type ZoneInput } from '../geometry/configured.ts'
import { errorsOf } from './support.ts'

const text = (zone: Partial<ZoneInput>) => stringify(configWith(zone))
const refusals = (zone: Partial<ZoneInput>) => errorsOf(text(zone))
const changed = (change: Partial<GeometryConfigInput>): Partial<ZoneInput> => ({
  geometry: { ...COATER_GEOMETRY, ...change },
})

describe('a zone with geometry', () => {
  test('is right with cells, distance and width, and beside a force factor, which then rests', () => {
    const { zones } = parseConfig(text({ geometry: COATER_GEOMETRY, force_factor: 1.5 }), 'line.yaml').config
    expect(zones[0]?.geometry?.uncertainty, 'what is not given stays so').toEqual({})
  })

  test('is right with a channel for the winding roll’s diameter', () => {
    const { zones } = parseConfig(text({ geometry: WINDER_GEOMETRY, neighbour: 'roll' }), 'line.yaml').config
    expect(zones[0]?.neighbour).toBe('roll')
  })

  test.each<readonly [string, Partial<ZoneInput>, string]>([
    ['a neighbour without a winding roll', { ...changed({}), neighbour: 'roll' }, 'no winding roll is described'],
    [
      'a neighbour that measures something else',
      { geometry: WINDER_GEOMETRY, neighbour: 'set' },
      'neighbour: channel set measures tension, expected one that measures length',
    ],
    ['arrows of other sides', changed({ arrows_deg: { single: -90 } }), 'arrows_deg has other sides than cells'],
    ['a cantilever of two cells', changed({ roller_kind: 'cantilever' }), 'roller_kind cantilever has one cell'],
    ['no cell distance', { ...changed({}), cell_distance_m: undefined }, 'cell_distance_m is missing'],
    ['a weight of web without its width', { ...changed({}), web_width_m: undefined }, 'web_width_m is missing'],
    [
      'a target that needs a moving neighbour',
      changed({ target: { kind: 'bisector-at', neighbour: 200 } }),
      'needs a neighbour that moves',
    ],
    [
      'an arrow square to the pull',
      changed({ arrows_deg: { drive_side: -13.9, operator_side: -104 } }),
      'the arrow of drive side stands square to the pull',
    ],
    [
      'a path that no web can run',
      changed({
        rollers: {
          ...COATER_GEOMETRY.rollers,
          after: [{ name: 'chill roller', x_mm: 100, y_mm: 0, diameter_mm: 150, turn: 'counter-clockwise' }],
        },
      }),
      'no web path from measuring roller to chill roller: they overlap by 50.0 mm',
    ],
    [
      'two rollers of one name',
      changed({
        rollers: {
          ...COATER_GEOMETRY.rollers,
          before: [{ name: 'chill roller', x_mm: -620, y_mm: -320, diameter_mm: 120, turn: 'counter-clockwise' }],
        },
      }),
      'two rollers are named chill roller',
    ],
  ])('is refused with %s', (_title, zone, message) => {
    const errors = refusals(zone)
    expect(errors).toHaveLength(1)
    expect(errors[0]).toContain(message)
    expect(errors[0]).toMatch(/^\d+:\d+ EVP_CONFIG/)
  })
})
