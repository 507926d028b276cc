import styles from './Form.module.css'

interface ChoiceFieldProps<T extends string> {
  readonly label: string
  readonly value: T
  readonly options: readonly (readonly [value: T, words: string])[]
  readonly onChange: (value: T) => void
  readonly isWide?: boolean
  readonly hint?: string
  readonly testId?: string
}

/** One of a few, as a list that opens. */
export function ChoiceField<T extends string>({
  label,
  value,
  options,
  onChange,
  isWide = false,
  hint,
  testId,
}: ChoiceFieldProps<T>) {
  return (
    <label className={isWide ? `${styles.field} ${styles.wide}` : styles.field}>
      <span>{label}</span>
      <select
        value={value}
        data-testid={testId}
        onChange={(event) => {
          const chosen = options.find(([option]) => option === event.target.value)
          if (chosen !== undefined) onChange(chosen[0])
        }}
      >
        {options.map(([option, words]) => (
          <option key={option} value={option}>
            {words}
          </option>
        ))}
      </select>
      <span className={styles.hint}>{hint}</span>
    </label>
  )
}
