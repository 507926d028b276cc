import { registerNotation } from '../../../lib/codec/address.ts'
import type { DeviceHealth } from '../../../shared/schemas/health.ts'
import styles from './RegisterViewer.module.css'
import type { QueryField, TypedQuery } from './register-query.ts'

export interface RegisterFormProps {
  readonly devices: readonly DeviceHealth[]
  readonly typed: TypedQuery
  readonly errors: Readonly<Partial<Record<QueryField, string>>>
  readonly isRepeating: boolean
  readonly onType: (part: Partial<TypedQuery>) => void
  readonly onReadOnce: () => void
  readonly onRepeat: () => void
  readonly onStop: () => void
}

/** Which registers to read. What was typed stays, also when it was refused. */
export function RegisterForm(props: RegisterFormProps) {
  const { devices, typed, errors, isRepeating, onType } = props
  return (
    <form
      className={styles.form}
      data-testid="register-form"
      noValidate
      onSubmit={(event) => {
        event.preventDefault()
        props.onReadOnce()
      }}
    >
      <label className={styles.field}>
        <span>Device</span>
        <select value={typed.device} onChange={(event) => onType({ device: event.target.value })} name="device">
          {devices.map(({ id, name }) => (
            <option key={id} value={id}>
              {name}
            </option>
          ))}
        </select>
      </label>
      <label className={styles.field}>
        <span>Registers</span>
        <select value={typed.function} onChange={(event) => onType({ function: event.target.value })} name="function">
          <option value="4">input (function 4)</option>
          <option value="3">holding (function 3)</option>
        </select>
      </label>
      <NumberField label="Unit id" name="unit_id" typed={typed} errors={errors} onType={onType} hint="0 to 255" />
      <NumberField
        label="First address"
        name="address"
        typed={typed}
        errors={errors}
        onType={onType}
        hint={notationHint(typed)}
      />
      <NumberField label="How many" name="count" typed={typed} errors={errors} onType={onType} hint="1 to 60" />
      <div className={styles.formButtons}>
        <button type="submit" className="control">
          Read once
        </button>
        <button
          type="button"
          className={`control ${styles.repeat}`}
          aria-pressed={isRepeating}
          onClick={isRepeating ? props.onStop : props.onRepeat}
        >
          {isRepeating ? 'Stop reading' : 'Read every second'}
        </button>
      </div>
    </form>
  )
}

/** The same address the way many manuals print it. */
function notationHint({ function: fn, address }: TypedQuery): string {
  const offset = /^\s*\d{1,5}\s*$/.test(address) ? Number(address) : Number.NaN
  if (!(offset <= 65_535)) return 'counted from 0'
  return `counted from 0; ${registerNotation(fn === '3' ? 3 : 4, offset)} in many manuals`
}

function NumberField({
  label,
  name,
  typed,
  errors,
  hint,
  onType,
}: {
  readonly label: string
  readonly name: 'unit_id' | 'address' | 'count'
  readonly typed: TypedQuery
  readonly errors: Readonly<Partial<Record<QueryField, string>>>
  readonly hint: string
  readonly onType: (part: Partial<TypedQuery>) => void
}) {
  const error = errors[name]
  return (
    <div className={styles.field}>
      <label htmlFor={`registers-${name}`}>{label}</label>
      <input
        id={`registers-${name}`}
        name={name}
        inputMode="numeric"
        autoComplete="off"
        value={typed[name]}
        aria-invalid={error !== undefined}
        aria-describedby={`registers-${name}-hint`}
        onChange={(event) => onType({ [name]: event.target.value })}
      />
      <span id={`registers-${name}-hint`} className={error === undefined ? styles.hint : styles.fieldError}>
        {error ?? hint}
      </span>
    </div>
  )
}
