import { type ReactNode, useId } from 'react'

export interface RadioOption<Value extends string> {
  readonly value: Value
  readonly words: ReactNode
  readonly testId?: string
}

interface RadioRowProps<Value extends string> {
  readonly legend: string
  readonly options: readonly RadioOption<Value>[]
  /** One of the options, or none yet. */
  readonly value: string
  readonly onChoose: (value: Value) => void
  /** Of the row, out of `Choices.module.css`. */
  readonly className: string | undefined
  readonly testId?: string
  /** What there is to say about the choice, below it. */
  readonly children?: ReactNode
}

/** One of a few, side by side under a legend. */
export function RadioRow<Value extends string>(props: RadioRowProps<Value>) {
  const { legend, options, value, onChoose, className, testId, children } = props
  const name = useId()
  return (
    <fieldset className={className} data-testid={testId}>
      <legend>{legend}</legend>
      <div>
        {options.map((option) => (
          <label key={option.value}>
            <input
              type="radio"
              name={name}
              checked={option.value === value}
              onChange={() => onChoose(option.value)}
              data-testid={option.testId}
            />
            <span>{option.words}</span>
          </label>
        ))}
      </div>
      {children}
    </fieldset>
  )
}
