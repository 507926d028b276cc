import { readFileSync } from 'node:fs'
import { parse } from 'yaml'
import type { ConfigInput } from '../../../shared/schemas/config.ts'
import type { GeometryConfigInput } from '../../../shared/schemas/geometry.ts'
import { configWithAddresses } from '../../../simulator/write-config.ts'
import type { SimulatorProcess } from './simulator.ts'

export const COATER = 'coater-outfeed'

/** The coater outfeed as its drawing has it: what the simulator builds, in a technician's units. */
export const COATER_DRAWING: GeometryConfigInput = {
  rollers: {
    before: [{ name: 'guide roller', x_mm: -620, y_mm: -320, diameter_mm: 120, turn: 'counter-clockwise' }],
    measuring: { name: 'measuring roller', x_mm: 0, y_mm: 0, diameter_mm: 150, turn: 'clockwise' },
    after: [{ name: 'chill roller', x_mm: 400, y_mm: -520, diameter_mm: 150, turn: 'counter-clockwise' }],
  },
  roller_mass_kg: 14,
  arrows_deg: { drive_side: -103, operator_side: -104 },
  basis_weight_gsm: 40,
  tension: { low_n: 60, normal_n: 250, high_n: 350, fastest_m_min: 300 },
}

/** The same with the chill roller passed on the other side: what a technician who misread the drawing would enter. */
export const WRONG_PATH: GeometryConfigInput = {
  ...COATER_DRAWING,
  rollers: {
    ...COATER_DRAWING.rollers,
    after: COATER_DRAWING.rollers.after.map((roller) => ({ ...roller, turn: 'clockwise' as const })),
  },
}

/** The demo's config on a running simulator, with this geometry on its coater and short windows. */
export function demoConfig(simulator: SimulatorProcess, geometry: GeometryConfigInput | undefined): ConfigInput {
  const file = readFileSync(new URL('../../../simulator/scenarios/demo.yaml', import.meta.url), 'utf8')
  const addresses = ['amplifier', 'module'].map((id) => ({ id, host: '127.0.0.1', port: simulator.portOf(id) }))
  const config = parse(configWithAddresses(file, addresses)) as ConfigInput
  return {
    ...config,
    zones: config.zones.map((zone) => {
      const { geometry: _drawn, ...plain } = zone
      const changed = { ...plain, average_s: 5, drift_s: 60 }
      return zone.id !== COATER || geometry === undefined ? changed : { ...changed, geometry }
    }),
  }
}
