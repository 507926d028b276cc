import type { GeometryConfig } from '../../shared/schemas/geometry.ts'
import { sourceOf, type UncertaintySource } from '../scale/default-uncertainty.ts'

export type DrawingUncertainty = keyof GeometryConfig['uncertainty']

/** Taken where the geometry in the config gives none (common practice, no source). The schema tells the same numbers. */
export const ASSUMED_OF_DRAWING = {
  position_mm: 1,
  diameter_mm: 0.4,
  arrow_deg: 0.5,
  mass_percent: 1,
  basis_weight_percent: 2,
  tension_percent: 1,
  line_of_pull_mm: 5,
} as const satisfies Record<DrawingUncertainty, number>

/** The config's own number, or the assumed one, in the key's unit; and which of the two it is. */
export function drawingUncertainty(
  given: GeometryConfig['uncertainty'],
  key: DrawingUncertainty,
): { readonly value: number; readonly source: UncertaintySource } {
  return { value: given[key] ?? ASSUMED_OF_DRAWING[key], source: sourceOf(given[key]) }
}
