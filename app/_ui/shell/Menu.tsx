import type { ReactNode } from 'react'
import styles from './Menu.module.css'

interface MenuProps {
  readonly id: string
  readonly label: string
  readonly children: ReactNode
}

/** A button and the panel it opens: the browser's own popover, which closes on Escape and on a touch outside. */
export function Menu({ id, label, children }: MenuProps) {
  return (
    <div className={styles.menu}>
      <button type="button" className="control" popoverTarget={id}>
        {label}
      </button>
      <div id={id} popover="auto" className={styles.panel}>
        {children}
      </div>
    </div>
  )
}

interface ChoiceProps<T extends string> {
  readonly title: string
  readonly name: string
  readonly options: readonly T[]
  readonly chosen: T
  readonly words?: Readonly<Record<T, string>>
  readonly onChoose: (option: T) => void
}

/** One choice of a few, as large radio buttons side by side. */
export function Choice<T extends string>({ title, name, options, chosen, words, onChoose }: ChoiceProps<T>) {
  return (
    <fieldset className={styles.choice}>
      <legend>{title}</legend>
      <div className={styles.options}>
        {options.map((option) => (
          <label key={option}>
            <input
              type="radio"
              name={name}
              value={option}
              checked={option === chosen}
              onChange={() => onChoose(option)}
            />
            <span>{words?.[option] ?? option}</span>
          </label>
        ))}
      </div>
    </fieldset>
  )
}
