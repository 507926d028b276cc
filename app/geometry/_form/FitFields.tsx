import { EXPANSIONS } from '../../../lib/geometry/shaft-growth.ts'
import type { Drawing } from '../_model/rollers.ts'
import { ChoiceField } from './Choice.tsx'
import styles from './Form.module.css'
import { type Part, PartFields, without } from './PartFields.tsx'
import type { FormProps } from './RollerTable.tsx'

type Fit = NonNullable<Drawing['fit']>
const STEEL = 10.8e-6
const FRESH: Fit = {
  clearance_mm: 2,
  shaft_expansion_per_k: STEEL,
  frame_expansion_per_k: STEEL,
  shaft_warming_k: 0,
  frame_warming_k: 0,
}

const part = (key: keyof Fit, label: string, unit: string, factor: number, rest: Partial<Part>): Part => ({
  label,
  unit,
  of: ({ fit }) => (fit === undefined ? undefined : Number((Number(fit[key]) / factor).toPrecision(10))),
  put: (drawing, value) => ({ ...drawing, fit: { ...(drawing.fit ?? FRESH), [key]: value * factor } }),
  ...rest,
})

const MATERIALS = EXPANSIONS.map(({ name, perKelvin }) => `${name} ${(perKelvin * 1e6).toFixed(1)}`).join(', ')
const PARTS: readonly Part[] = [
  part('clearance_mm', 'End clearance', 'mm', 1, { least: 0, hint: '1.5 to 3 mm is common practice' }),
  part('shaft_expansion_per_k', 'Shaft expands', '10⁻⁶/K', 1e-6, { least: 0, isOpen: true, hint: MATERIALS }),
  part('frame_expansion_per_k', 'Frame expands', '10⁻⁶/K', 1e-6, { least: 0, isOpen: true }),
  part('shaft_warming_k', 'Shaft warms by', 'K', 1, { hint: 'from fitting to running' }),
  part('frame_warming_k', 'Frame warms by', 'K', 1, {}),
]

/** Clearance at the shaft's ends, materials and warming. */
export function FitFields(props: FormProps) {
  const { drawing, onChange } = props
  const { fit } = drawing
  return (
    <div className={styles.group}>
      <div className={styles.fields}>
        <ChoiceField
          label="Check shaft growth"
          value={fit === undefined ? 'no' : 'yes'}
          options={[
            ['no', 'no'],
            ['yes', 'yes'],
          ]}
          onChange={(choice) =>
            onChange((now) => (choice === 'yes' ? { ...now, fit: now.fit ?? FRESH } : without(now, 'fit')))
          }
        />
        {fit !== undefined && (
          <ChoiceField
            label="The growth is taken up"
            value={fit.shared === true ? 'both' : 'one'}
            options={[
              ['one', 'at one end'],
              ['both', 'at both ends alike'],
            ]}
            onChange={(choice) => onChange((now) => ({ ...now, fit: { ...fit, shared: choice === 'both' } }))}
          />
        )}
      </div>
      {fit !== undefined && <PartFields {...props} parts={PARTS} />}
    </div>
  )
}
