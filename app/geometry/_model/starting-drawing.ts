import type { ZoneFacts } from '../../../shared/schemas/config-write.ts'
import type { Drawing } from './rollers.ts'

/**
 * Three rollers to begin with where a zone has no geometry: a web that comes from below, over the measuring roller
 * and down again. Nothing of it was measured; every figure is there to be replaced.
 */
export function startingDrawing({ cells }: ZoneFacts): Drawing {
  const capacities = Object.values(cells).map(({ capacityN }) => capacityN)
  const all = capacities.reduce((sum, capacity) => sum + capacity, 0)
  const share = (part: number): number => Number((part * all).toPrecision(2))
  // The bisector of this layout.
  const arrow = -90
  return {
    rollers: {
      before: [{ name: 'before', x_mm: -500, y_mm: -400, diameter_mm: 120, turn: 'counter-clockwise' }],
      measuring: { name: 'measuring', x_mm: 0, y_mm: 0, diameter_mm: 150, turn: 'clockwise' },
      after: [{ name: 'after', x_mm: 500, y_mm: -400, diameter_mm: 120, turn: 'counter-clockwise' }],
    },
    ...('single' in cells ? { roller_kind: 'cantilever' as const } : {}),
    roller_mass_kg: share(0.01),
    arrows_deg: 'single' in cells ? { single: arrow } : { drive_side: arrow, operator_side: arrow },
    tension: {
      low_n: share(0.06),
      normal_n: share(0.15),
      high_n: share(0.22),
      fastest_m_min: 200,
    },
  }
}
