import type { Drawing } from '../_model/rollers.ts'
import { ChoiceField } from './Choice.tsx'
import styles from './Form.module.css'
import { type Part, PartFields } from './PartFields.tsx'
import type { FormProps } from './RollerTable.tsx'

type Target = NonNullable<Drawing['target']>

function fresh(kind: Target['kind'], { moving, arrows_deg: arrows }: Drawing): Target {
  switch (kind) {
    case 'bisector':
      return { kind }
    case 'bisector-at':
      return { kind, neighbour: moving === undefined ? 0 : middleOf(moving) }
    case 'mount-axis':
      return { kind, deg: 'single' in arrows ? arrows.single : arrows.drive_side }
  }
}

const middleOf = (moving: NonNullable<Drawing['moving']>): number =>
  moving.kind === 'winding-roll'
    ? Math.round((moving.core_diameter_mm + moving.full_diameter_mm) / 2)
    : (moving.lowest_deg + moving.highest_deg) / 2

function partOf(target: Target, { moving }: Drawing): Part | null {
  if (target.kind === 'mount-axis')
    return {
      label: 'Axis of the mount',
      unit: '°',
      of: () => target.deg,
      put: (now, deg) => ({ ...now, target: { kind: 'mount-axis', deg } }),
      hint: 'counter-clockwise from downstream',
    }
  if (target.kind === 'bisector-at')
    return {
      label: 'Chosen place',
      unit: moving?.kind === 'dancer-arm' ? '°' : 'mm',
      of: () => target.neighbour,
      put: (now, neighbour) => ({ ...now, target: { kind: 'bisector-at', neighbour } }),
      hint: moving?.kind === 'dancer-arm' ? 'angle of the arm' : 'diameter of the roll',
    }
  return null
}

/** What the arrows are to be set to. */
export function TargetFields({ drawing, onChange, onSettle }: FormProps) {
  const target = drawing.target ?? { kind: 'bisector' }
  const part = partOf(target, drawing)
  return (
    <div className={styles.fields}>
      <ChoiceField
        label="Angle to set"
        value={target.kind}
        options={[
          ['bisector', 'bisector of the wrap'],
          ...(drawing.moving === undefined ? [] : ([['bisector-at', 'bisector, neighbour at a place']] as const)),
          ['mount-axis', 'axis of a fixed mount'],
        ]}
        onChange={(kind) => onChange((now) => ({ ...now, target: fresh(kind, now) }))}
      />
      {part !== null && <PartFields drawing={drawing} onChange={onChange} onSettle={onSettle} parts={[part]} />}
    </div>
  )
}
