import { useId } from 'react'
import type { PlanField } from '../../../shared/schemas/verification/plan.ts'
import type { TestValues } from '../../../shared/schemas/verification.ts'
import { fieldNumber, numberTrouble, typedNumber } from '../../_ui/typed-number.ts'
import styles from '../Verification.module.css'
import fieldStyles from './Fields.module.css'

interface FieldsProps {
  readonly fields: readonly PlanField[]
  readonly values: TestValues
  /** Text of number fields as typed. */
  readonly typed: Readonly<Record<string, string>>
  readonly onChange: (id: string, value: TestValues[string] | undefined, text: string) => void
  readonly prefix?: string
}

/** What a test asks to be typed or chosen. What was typed stays, also when it is no number; that is said beside it. */
export function Fields({ fields, values, typed, onChange, prefix = '' }: FieldsProps) {
  return (
    <div className={fieldStyles.fields}>
      {fields.map((field) => (
        <Field
          key={field.id}
          field={field}
          value={values[field.id] ?? field.preset}
          text={typed[prefix + field.id]}
          onChange={(value, text) => onChange(field.id, value, text)}
        />
      ))}
    </div>
  )
}

interface FieldProps {
  readonly field: PlanField
  readonly value: TestValues[string] | undefined
  readonly text: string | undefined
  readonly onChange: (value: TestValues[string] | undefined, text: string) => void
}

function Field({ field, value, text, onChange }: FieldProps) {
  if (field.kind === 'yes-no') return <YesNo field={field} value={value} onChange={onChange} />
  if (field.kind === 'choice') return <Choice field={field} value={value} onChange={onChange} />
  return <Typed field={field} value={value} text={text} onChange={onChange} />
}

function Typed({ field, value, text, onChange }: FieldProps) {
  const id = useId()
  const shown = text ?? (typeof value === 'number' ? fieldNumber(value) : String(value ?? ''))
  const isNumber = field.kind === 'number'
  const isWrong = isNumber && shown.trim() !== '' && numberTrouble(shown) !== null
  const change = (next: string) => {
    if (!isNumber) return onChange(next === '' ? undefined : next, next)
    const number = typedNumber(next)
    onChange(number ?? undefined, next)
  }
  return (
    <div className={fieldStyles.field}>
      <label htmlFor={id}>
        {field.label}
        {!field.required && <span className={styles.soft}> (may be left)</span>}
      </label>
      <span className={fieldStyles.inputLine}>
        <input
          id={id}
          inputMode={isNumber ? 'decimal' : 'text'}
          autoComplete="off"
          value={shown}
          aria-invalid={isWrong}
          aria-describedby={`${id}-note`}
          onChange={(event) => change(event.target.value)}
          data-testid={`field-${field.id}`}
        />
        {field.unit !== null && field.unit !== '' && <span>{field.unit}</span>}
      </span>
      <span id={`${id}-note`} className={isWrong ? styles.fault : styles.soft}>
        {isWrong ? numberTrouble(shown) : (field.hint ?? '')}
      </span>
    </div>
  )
}

type ChoiceProps = Omit<FieldProps, 'text'>

function YesNo({ field, value, onChange }: ChoiceProps) {
  const options = [
    { value: 'yes', label: 'Yes' },
    { value: 'no', label: 'No' },
  ]
  const chosen = value === true ? 'yes' : value === false ? 'no' : undefined
  return <Options field={field} options={options} chosen={chosen} onChoose={(one) => onChange(one === 'yes', one)} />
}

function Choice({ field, value, onChange }: ChoiceProps) {
  const chosen = typeof value === 'string' ? value : undefined
  return <Options field={field} options={field.choices ?? []} chosen={chosen} onChoose={(one) => onChange(one, one)} />
}

interface OptionsProps {
  readonly field: PlanField
  readonly options: readonly { readonly value: string; readonly label: string }[]
  readonly chosen: string | undefined
  readonly onChoose: (value: string) => void
}

function Options({ field, options, chosen, onChoose }: OptionsProps) {
  const name = useId()
  return (
    <fieldset className={fieldStyles.options} data-testid={`field-${field.id}`}>
      <legend>{field.label}</legend>
      <div>
        {options.map(({ value, label }) => (
          <label key={value}>
            <input type="radio" name={name} value={value} checked={chosen === value} onChange={() => onChoose(value)} />
            <span>{label}</span>
          </label>
        ))}
      </div>
    </fieldset>
  )
}
