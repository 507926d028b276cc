import { type ReactNode, useId } from 'react'
import { numberTrouble, typedNumber } from '../../_ui/typed-number.ts'
import styles from './Calibration.module.css'

interface TypedFieldProps {
  readonly label: ReactNode
  readonly unit: string
  readonly value: string
  readonly onType: (value: string) => void
  readonly hint?: string
  /** Nothing typed is no mistake. */
  readonly isOptional?: boolean
  readonly testId?: string
}

/** A number to type. It stays as typed, also when it is none; that is said beside it. */
export function TypedField({ label, unit, value, onType, hint, isOptional = false, testId }: TypedFieldProps) {
  const id = useId()
  const isEmpty = value.trim() === ''
  const isWrong = isEmpty ? !isOptional : typedNumber(value) === null
  const fault = !isWrong ? null : isEmpty ? 'not typed yet' : numberTrouble(value)
  return (
    <div className={styles.field}>
      <label htmlFor={id}>{label}</label>
      <span className={styles.inputLine}>
        <input
          id={id}
          inputMode="decimal"
          autoComplete="off"
          value={value}
          aria-invalid={isWrong && !isEmpty}
          aria-describedby={`${id}-note`}
          onChange={(event) => onType(event.target.value)}
          data-testid={testId}
        />
        <span>{unit}</span>
      </span>
      <span id={`${id}-note`} className={isWrong && !isEmpty ? styles.fault : styles.hint}>
        {fault ?? hint ?? ''}
      </span>
    </div>
  )
}
