import { useId } from 'react'
import type { ActArgument, TrainingAct } from '../../../shared/schemas/training.ts'
import {
  fieldOf,
  IN_DEGREES,
  limitsInWords,
  ROPE_AS_WEB,
  shownDegrees,
  shownIn,
  type Typed,
} from '../_model/act-form.ts'
import { RadioRow } from '../RadioRow.tsx'
import pageStyles from '../Training.module.css'
import styles from './Fields.module.css'

interface ActFieldsProps {
  readonly act: TrainingAct
  readonly typed: Typed
  readonly faults: Readonly<Record<string, string>>
  readonly onType: (field: string, text: string) => void
}

/** What has to be said with an act: a field each, with its unit and limits. */
export function ActFields({ act, ...rest }: ActFieldsProps) {
  if (act.args.length === 0) return null
  return (
    <div className={styles.fields}>
      {act.args.map((argument) => (
        <Argument key={argument.name} act={act.id} argument={argument} {...rest} />
      ))}
    </div>
  )
}

interface ArgumentProps extends Omit<ActFieldsProps, 'act'> {
  readonly act: string
  readonly argument: ActArgument
}

function Argument(props: ArgumentProps) {
  switch (props.argument.kind) {
    case 'number':
      return <NumberArgument {...props} />
    case 'choice':
      return <ChoiceArgument {...props} options={props.argument.choices} />
    case 'direction':
      return <DirectionArgument {...props} />
    case 'rope':
      return <RopeArgument {...props} />
  }
}

function NumberArgument({ act, argument, typed, faults, onType }: ArgumentProps) {
  const field = fieldOf(act, argument.name)
  return (
    <NumberField
      label={argument.title}
      limits={argument}
      isRequired={argument.required}
      text={shownIn(act, argument, typed)}
      fault={faults[field]}
      onType={(text) => onType(field, text)}
      testId={`field-${argument.name}`}
    />
  )
}

interface NumberFieldProps {
  readonly label: string
  readonly limits: Pick<ActArgument, 'unit' | 'least' | 'most'>
  readonly isRequired: boolean
  readonly text: string
  readonly fault: string | undefined
  readonly onType: (text: string) => void
  readonly testId: string
}

/** A number with its unit and limits; what is typed stays, also while it is none. */
export function NumberField({ label, limits, isRequired, text, fault, onType, testId }: NumberFieldProps) {
  const id = useId()
  const words = limitsInWords(limits)
  return (
    <div className={styles.fieldBox}>
      <label htmlFor={id}>{label}</label>
      <span className={styles.inputLine}>
        <input
          id={id}
          inputMode="decimal"
          autoComplete="off"
          value={text}
          aria-invalid={fault !== undefined}
          aria-describedby={`${id}-note`}
          onChange={(event) => onType(event.target.value)}
          data-testid={testId}
        />
        {limits.unit !== null && limits.unit !== '' && <span className={styles.unit}>{limits.unit}</span>}
      </span>
      <span id={`${id}-note`} className={fault === undefined ? pageStyles.soft : pageStyles.fault}>
        {fault ?? (isRequired ? words : words === '' ? 'may be left' : `may be left; ${words}`)}
      </span>
    </div>
  )
}

interface ChoiceProps extends ArgumentProps {
  readonly options: readonly { readonly value: string; readonly title: string }[]
}

/** Few choices stand side by side; many go into a list. */
const MOST_SIDE_BY_SIDE = 4

function ChoiceArgument({ act, argument, typed, faults, onType, options }: ChoiceProps) {
  const field = fieldOf(act, argument.name)
  const chosen = shownIn(act, argument, typed)
  const name = useId()
  const fault = faults[field]
  const note = fault !== undefined && (
    <span id={`${name}-note`} className={pageStyles.fault}>
      {fault}
    </span>
  )
  if (options.length > MOST_SIDE_BY_SIDE)
    return (
      <div className={styles.fieldBox}>
        <label htmlFor={name}>{argument.title}</label>
        <select
          id={name}
          value={chosen}
          aria-invalid={fault !== undefined}
          onChange={(event) => onType(field, event.target.value)}
          data-testid={`field-${argument.name}`}
        >
          {chosen === '' && <option value="">choose</option>}
          {options.map(({ value, title }) => (
            <option key={value} value={value}>
              {title}
            </option>
          ))}
        </select>
        {note}
      </div>
    )
  return (
    <RadioRow
      legend={argument.title}
      options={options.map(({ value, title }) => ({ value, words: title }))}
      value={chosen}
      onChoose={(value) => onType(field, value)}
      className={styles.options}
      testId={`field-${argument.name}`}
    >
      {note}
    </RadioRow>
  )
}

function DirectionArgument(props: ArgumentProps) {
  const { act, argument, typed } = props
  const options = [...argument.choices, { value: IN_DEGREES, title: 'In degrees' }]
  return (
    <>
      {argument.choices.length > 0 && <ChoiceArgument {...props} options={options} />}
      {(argument.choices.length === 0 || shownIn(act, argument, typed) === IN_DEGREES) && (
        <DegreesField {...props} part="deg" label={argument.title} />
      )}
    </>
  )
}

function RopeArgument(props: ArgumentProps) {
  const { act, argument, typed } = props
  const options = [
    { value: ROPE_AS_WEB, title: 'As the web runs' },
    { value: IN_DEGREES, title: 'Another way' },
  ]
  return (
    <>
      <ChoiceArgument {...props} options={options} />
      {shownIn(act, argument, typed) === IN_DEGREES && (
        <>
          <DegreesField {...props} part="arriving_deg" label="Rope arriving, counter-clockwise from downstream" />
          <DegreesField {...props} part="leaving_deg" label="Rope leaving, counter-clockwise from downstream" />
        </>
      )}
    </>
  )
}

interface DegreesFieldProps extends ArgumentProps {
  readonly part: string
  readonly label: string
}

function DegreesField({ act, argument, typed, faults, onType, part, label }: DegreesFieldProps) {
  const field = fieldOf(act, argument.name, part)
  return (
    <NumberField
      label={label}
      limits={{ unit: '°', least: argument.least ?? -360, most: argument.most ?? 360 }}
      isRequired
      text={shownDegrees(act, argument, part, typed)}
      fault={faults[field]}
      onType={(text) => onType(field, text)}
      testId={`field-${argument.name}-${part}`}
    />
  )
}
