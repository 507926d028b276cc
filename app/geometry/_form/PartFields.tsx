import type { Drawing } from '../_model/rollers.ts'
import styles from './Form.module.css'
import { NumberField } from './NumberField.tsx'
import type { FormProps } from './RollerTable.tsx'

/** One figure of the drawing: how it is read from it and put into it. */
export interface Part {
  readonly label: string
  readonly unit: string
  readonly of: (drawing: Drawing) => number | undefined
  readonly put: (drawing: Drawing, value: number) => Drawing
  readonly clear?: (drawing: Drawing) => Drawing
  readonly least?: number
  readonly isOpen?: boolean
  readonly most?: number
  readonly hint?: string
  readonly testId?: string
}

/** A row of figures to type. */
export function PartFields({ parts, drawing, onChange, onSettle }: FormProps & { readonly parts: readonly Part[] }) {
  return (
    <div className={styles.fields}>
      {parts.map(({ label, unit, of, put, clear, least, isOpen, most, hint, testId }) => (
        <NumberField
          key={label}
          label={label}
          unit={unit}
          value={of(drawing)}
          onChange={(value) => onChange((now) => put(now, value), `type ${label}`)}
          onSettle={onSettle}
          {...(clear === undefined ? {} : { onClear: () => onChange(clear) })}
          {...(least === undefined ? {} : { least })}
          {...(isOpen === undefined ? {} : { isOpen })}
          {...(most === undefined ? {} : { most })}
          {...(hint === undefined ? {} : { hint })}
          {...(testId === undefined ? {} : { testId })}
        />
      ))}
    </div>
  )
}

/** A copy without a key; for optional parts of the drawing. */
export function without<K extends keyof Drawing>(drawing: Drawing, key: K): Drawing {
  const { [key]: _, ...rest } = drawing
  return rest as Drawing
}
