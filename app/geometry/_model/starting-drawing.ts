import type { ZoneFacts } from '../../../shared/schemas/config-write.ts'
import type { Drawing } from './rollers.ts'

/**
 * Three rollers to begin with where a zone has no geometry: a web that comes from below, over the measuring roller
 * and down again. Nothing of it was measured; every figure is there to be replaced.
 */
export function startingDrawing({ cells }: ZoneFacts): Drawing {
  const capacities = Object.values(cells).map(({ capacityN }) => capacityN)
  const all = capacities.reduce((sum, capacity) => sum + capacity, 0)
  const tension = (share: number): number => Number((share * all).toPrecision(2))
  // The bisector of this layout.
  const arrow = -90
  return {
    rollers: {
      before: [{ name: 'before', x_mm: -500, y_mm: -400, diameter_mm: 120, turn: 'counter-clockwise' }],
      measuring: { name: 'measuring', x_mm: 0, y_mm: 0, diameter_mm: 150, turn: 'clockwise' },
      after: [{ name: 'after', x_mm: 500, y_mm: -400, diameter_mm: 120, turn: 'counter-clockwise' }],
    },
    ...('single' in cells ? { roller_kind: 'cantilever' as const } : {}),
    roller_mass_kg: 10,
    arrows_deg: 'single' in cells ? { single: arrow } : { drive_side: arrow, operator_side: arrow },
    tension: {
      low_n: tension(0.08),
      normal_n: tension(0.2),
      high_n: tension(0.3),
      fastest_m_min: 200,
    },
  }
}
