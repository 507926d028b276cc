import { useState } from 'react'
import type { UncertainFigures } from '../../../lib/geometry/expected-uncertainty.ts'
import { entriesOf, ofSide } from '../../../lib/geometry/sided.ts'
import type { Propagated } from '../../../lib/uncertainty/propagate.ts'
import { formatTrimmed, NBSP } from '../../_ui/format.ts'
import stacked from '../../_ui/Stacked.module.css'
import { SIDES } from '../../_ui/sides.ts'
import { useUnits } from '../../_ui/units.tsx'
import { WideBox } from '../../_ui/WideBox.tsx'
import type { Figures } from '../_model/compute.ts'
import { figureInWords, partInWords, sensitivityInWords } from './budget-words.ts'
import { inputInWords } from './explanations.ts'
import styles from './Figures.module.css'
import { type FigureOf, MonteCarloCheck } from './MonteCarloCheck.tsx'
import { percent } from './words.ts'

interface Chosen {
  readonly key: string
  readonly title: string
  readonly of: FigureOf
  readonly unit: string
}

/** Where the uncertainty of a chosen figure comes from, input by input. */
export function Budget({ figures }: { readonly figures: Figures }) {
  const [key, setKey] = useState('webForce')
  const choices = choicesOf(figures)
  const { normal } = figures.levels
  const chosen = choices.find((one) => one.key === key) ?? choices[0]
  if (chosen === undefined) return null
  return (
    <div className={styles.budget}>
      <label className={styles.field}>
        Figure
        <select value={chosen.key} onChange={(event) => setKey(event.target.value)}>
          {choices.map((one) => (
            <option key={one.key} value={one.key}>
              {one.title}
            </option>
          ))}
        </select>
      </label>
      <BudgetTable title={chosen.title} unit={chosen.unit} figure={chosen.of(normal.uncertain)} />
      <MonteCarloCheck request={normal.request} of={chosen.of} unit={chosen.unit} />
    </div>
  )
}

function choicesOf({ levels, signals }: Figures): Chosen[] {
  const sides = entriesOf(levels.normal.uncertain.sides).map(([side]) => side)
  return [
    { key: 'webForce', title: 'Force of the web, all cells, at normal tension', of: (all) => all.webForce, unit: 'N' },
    { key: 'wrap', title: 'Wrap', of: (all) => all.wrap, unit: 'rad' },
    ...sides.flatMap((side): Chosen[] => {
      const { name } = SIDES[side]
      const source = signals[side]
      return [
        {
          key: `force ${side}`,
          title: `Force of the web, ${name}`,
          of: (all) => ofSide(all.sides, side).webForce,
          unit: 'N',
        },
        {
          key: `factor ${side}`,
          title: `Force factor, ${name}`,
          of: (all) => ofSide(all.sides, side).forceFactor,
          unit: '1',
        },
        {
          key: `bare ${side}`,
          title: `Bare roller, ${name}`,
          of: (all) => ofSide(all.sides, side).bareForce,
          unit: 'N',
        },
        ...(source?.kind === 'output'
          ? [
              {
                key: `signal ${side}`,
                title: `Signal, ${name}`,
                of: <F,>(all: UncertainFigures<F>) => ofSide(all.sides, side).signal,
                unit: source.unit,
              },
            ]
          : []),
      ]
    }),
  ]
}

/** Rows that say less than this of the variance are summed up. */
const TELLING = 0.0005

interface BudgetTableProps {
  readonly title: string
  readonly unit: string
  readonly figure: Propagated
}

function BudgetTable({ figure, unit, title }: BudgetTableProps) {
  const units = useUnits()
  const rows = figure.budget.filter(({ share }) => share >= TELLING).sort((a, b) => b.share - a.share)
  const rest = figure.budget.length - rows.length
  const total = figureInWords(figure.value, figure.U, unit, units)
  return (
    <>
      <p className={styles.tableTitle} id="budget-title">
        {title}: {total} (U, about 95{NBSP}%, k = {formatTrimmed(figure.k)})
      </p>
      <WideBox label="Uncertainty budget">
        <table className={`${styles.table} ${stacked.stacked}`} aria-labelledby="budget-title" data-testid="budget">
          <thead>
            <tr>
              <th scope="col">Input</th>
              <th scope="col">Value</th>
              <th scope="col">u</th>
              <th scope="col">Sensitivity</th>
              <th scope="col">Contribution</th>
              <th scope="col">Share</th>
            </tr>
          </thead>
          <tbody>
            {rows.map((row) => (
              <tr key={row.name}>
                <th scope="row">
                  {row.name} <span className={styles.soft}>{row.source}</span>
                </th>
                <td data-of="Value">{inputInWords(row.value, row.unit, units)}</td>
                <td data-of="u">{inputInWords(row.u, row.unit, units)}</td>
                <td data-of="Sensitivity">{sensitivityInWords(row, unit, units)}</td>
                <td data-of="Contribution">{partInWords(row.contribution, unit, units)}</td>
                <td data-of="Share">{percent(row.share)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </WideBox>
      {rest > 0 && (
        <p className={styles.soft}>
          {rest} more inputs each say less than 0.05{NBSP}% of it. Law of propagation of uncertainty (JCGM 100, 5.1.2).
        </p>
      )}
    </>
  )
}
