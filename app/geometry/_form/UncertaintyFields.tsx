import { ASSUMED_OF_DRAWING, type DrawingUncertainty } from '../../../lib/geometry/drawing-uncertainty.ts'
import { type Part, PartFields } from './PartFields.tsx'
import type { FormProps } from './RollerTable.tsx'

const part = (key: DrawingUncertainty, label: string, unit: string): Part => ({
  label,
  unit,
  of: ({ uncertainty }) => uncertainty?.[key] ?? ASSUMED_OF_DRAWING[key],
  put: (drawing, value) => ({ ...drawing, uncertainty: { ...drawing.uncertainty, [key]: value } }),
  least: 0,
  hint: `${ASSUMED_OF_DRAWING[key]} is common practice`,
})

const PARTS: readonly Part[] = [
  part('position_mm', 'Coordinates', 'mm'),
  part('diameter_mm', 'Diameters', 'mm'),
  part('arrow_deg', 'Arrows', '°'),
  part('mass_percent', 'Mass', '%'),
  part('basis_weight_percent', 'Basis weight', '%'),
  part('tension_percent', 'Tension', '%'),
  part('line_of_pull_mm', 'Line of pull', 'mm'),
]

/** Standard uncertainties of what was measured or read off a drawing. */
export function UncertaintyFields(props: FormProps) {
  return <PartFields {...props} parts={PARTS} />
}
