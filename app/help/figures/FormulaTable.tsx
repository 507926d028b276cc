import type { FigureFormula } from '../../../lib/verdicts/formulas.ts'
import { FactTable } from '../_parts/FactTable.tsx'
import type { FigureRow } from './figure-rows.ts'

interface FormulaTableProps<K extends string> {
  readonly caption: string
  readonly rows: Readonly<Record<K, FigureRow>>
  readonly formulas: Readonly<Record<K, FigureFormula>>
}

/** The formulas that the code itself tells under Why, one row a figure. */
export function FormulaTable<K extends string>({ caption, rows, formulas }: FormulaTableProps<K>) {
  const keys = Object.keys(rows) as K[]
  return (
    <FactTable
      caption={caption}
      head={['Figure', 'Formula', 'Window', 'Source', 'In the code']}
      rows={keys.map((key) => {
        const { name, window, code } = rows[key]
        const { formula, source } = formulas[key]
        return [
          name,
          formula,
          window,
          source,
          <code key={code} translate="no">
            {code}
          </code>,
        ]
      })}
    />
  )
}
