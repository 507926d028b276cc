import { type ReactNode, useId, useState } from 'react'
import whyStyles from '../../_ui/Why.module.css'
import styles from './Figures.module.css'

/** How a figure was got: the formula in symbols, then with the numbers put in. */
export interface Explanation {
  readonly formula: string
  /** The same with its numbers, one line a side where they differ. */
  readonly numbers: readonly string[]
  readonly source: string
  readonly inputs: readonly { readonly name: string; readonly value: string; readonly u: string }[]
}

interface ExplainedProps {
  readonly title: string
  readonly meaning: string
  readonly explanation: Explanation
  readonly testId?: string
  readonly children: ReactNode
}

/** A figure that opens to its formula with the numbers put in. */
export function Explained({ title, meaning, explanation, testId, children }: ExplainedProps) {
  const panelId = useId()
  const [isOpen, setOpen] = useState(false)
  return (
    <li className={styles.row} data-testid={testId}>
      <div className={styles.title}>
        <h3>{title}</h3>
        <p className={styles.meaning}>{meaning}</p>
      </div>
      <div className={styles.values}>{children}</div>
      <button
        type="button"
        className={`${whyStyles.button} ${styles.how}`}
        aria-expanded={isOpen}
        aria-controls={panelId}
        onClick={() => setOpen(!isOpen)}
      >
        how<span className="heard-only"> {title} is got</span>
      </button>
      {isOpen && (
        <div id={panelId} className={`${whyStyles.panel} ${styles.panel}`}>
          <Terms explanation={explanation} />
          {explanation.inputs.length > 0 && <Inputs inputs={explanation.inputs} />}
        </div>
      )}
    </li>
  )
}

function Terms({ explanation: { formula, numbers, source } }: { readonly explanation: Explanation }) {
  return (
    <dl className={whyStyles.terms}>
      <dt>Formula</dt>
      <dd>{formula}</dd>
      <dt>With numbers</dt>
      <dd>
        {numbers.map((line) => (
          <p key={line}>{line}</p>
        ))}
      </dd>
      <dt>Source</dt>
      <dd>{source}</dd>
    </dl>
  )
}

function Inputs({ inputs }: Pick<Explanation, 'inputs'>) {
  return (
    <table className={whyStyles.inputs}>
      <caption>What was put in</caption>
      <thead>
        <tr>
          <th scope="col">Input</th>
          <th scope="col">Value</th>
          <th scope="col">Standard uncertainty u</th>
        </tr>
      </thead>
      <tbody>
        {inputs.map(({ name, value, u }) => (
          <tr key={name}>
            <th scope="row">{name}</th>
            <td>{value}</td>
            <td>{u}</td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}
