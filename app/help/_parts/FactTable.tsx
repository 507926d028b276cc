import type { ReactNode } from 'react'
import stacked from '../../_ui/Stacked.module.css'
import styles from './Help.module.css'

interface FactTableProps {
  readonly caption: string
  readonly head: readonly string[]
  /** The first cell of a row names it. */
  readonly rows: readonly (readonly [name: string, ...cells: ReactNode[]])[]
}

/** A table that stands as blocks on a phone; the first column is the row's name. */
export function FactTable({ caption, head, rows }: FactTableProps) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard
    <section className={styles.wide} aria-label={caption} tabIndex={0}>
      <table className={`${styles.table} ${stacked.stacked}`}>
        <caption>{caption}</caption>
        <thead>
          <tr>
            {head.map((name) => (
              <th key={name} scope="col">
                {name}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map(([name, ...cells]) => (
            <tr key={name}>
              <th scope="row">{name}</th>
              {cells.map((cell, i) => (
                <td key={head[i + 1]} data-of={head[i + 1]}>
                  {cell}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}
