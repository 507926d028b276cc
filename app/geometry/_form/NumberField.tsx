import { useId, useState } from 'react'
import { fieldNumber, numberTrouble, typedNumber } from '../../_ui/typed-number.ts'
import styles from './Form.module.css'

interface NumberFieldProps {
  readonly label: string
  readonly unit: string
  readonly value: number | undefined
  readonly onChange: (value: number) => void
  readonly onSettle: () => void
  /** Takes the figure out of the drawing when the field is emptied; without it a figure must stand here. */
  readonly onClear?: () => void
  readonly least?: number
  /** Greater than `least`, not equal to it. */
  readonly isOpen?: boolean
  readonly most?: number
  /** Only for those who hear the page: the table's head says it already. */
  readonly isLabelHidden?: boolean
  readonly hint?: string
  readonly testId?: string
}

/** A figure to type. What cannot be read stays as typed, is said beside it, and does not reach the drawing. */
export function NumberField(props: NumberFieldProps) {
  const { label, unit, value, onChange, onSettle, onClear, isLabelHidden = false, hint, testId } = props
  const [typed, setTyped] = useState<string | null>(null)
  const id = useId()
  const shown = typed ?? (value === undefined ? '' : fieldNumber(value))
  const fault = typed === null ? null : faultOf(typed, props)
  const type = (text: string) => {
    setTyped(text)
    if (faultOf(text, props) !== null) return
    const number = typedNumber(text)
    if (text.trim() === '') onClear?.()
    else if (number !== null) onChange(number)
  }
  return (
    <div className={styles.field}>
      <label htmlFor={id} className={isLabelHidden ? 'heard-only' : undefined}>
        {label}
        <span className={isLabelHidden ? undefined : styles.unit}> {unit}</span>
      </label>
      <input
        id={id}
        type="text"
        inputMode="decimal"
        autoComplete="off"
        data-testid={testId}
        value={shown}
        aria-invalid={fault !== null}
        aria-describedby={`${id}-note`}
        onChange={(event) => type(event.target.value)}
        onBlur={() => {
          if (fault === null) setTyped(null)
          onSettle()
        }}
        onKeyDown={(event) => {
          if (event.key === 'Escape') setTyped(null)
        }}
      />
      <p id={`${id}-note`} className={fault === null ? styles.hint : styles.fault}>
        {fault ?? hint}
      </p>
    </div>
  )
}

function faultOf(text: string, { least, isOpen, most, onClear }: NumberFieldProps): string | null {
  if (text.trim() === '') return onClear === undefined ? 'A figure must stand here.' : null
  const value = typedNumber(text)
  if (value === null) return numberTrouble(text)
  if (least !== undefined && (isOpen ? value <= least : value < least))
    return isOpen ? `More than ${fieldNumber(least)}.` : `${fieldNumber(least)} or more.`
  if (most !== undefined && value > most) return `${fieldNumber(most)} at most.`
  return null
}
