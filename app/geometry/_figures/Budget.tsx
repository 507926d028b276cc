import { useState } from 'react'
import { entriesOf } from '../../../lib/geometry/sided.ts'
import { degrees } from '../../../lib/geometry/vector.ts'
import type { BudgetRow, Propagated } from '../../../lib/uncertainty/propagate.ts'
import { formatNumber, formatTrimmed, NBSP, withUnit } from '../../_ui/format.ts'
import { SIDES } from '../../_ui/sides.ts'
import { useUnits } from '../../_ui/units.tsx'
import { WideBox } from '../../_ui/WideBox.tsx'
import type { Figures } from '../_model/compute.ts'
import { inputInWords } from './explanations.ts'
import styles from './Figures.module.css'
import { percent, plainWithU } from './words.ts'

interface Chosen {
  readonly key: string
  readonly title: string
  readonly figure: Propagated
  readonly unit: string
}

/** Where the uncertainty of a chosen figure comes from, input by input. */
export function Budget({ figures }: { readonly figures: Figures }) {
  const [key, setKey] = useState('webForce')
  const choices = choicesOf(figures)
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
      <BudgetTable chosen={chosen} />
    </div>
  )
}

function choicesOf({ levels, signals }: Figures): Chosen[] {
  const { uncertain } = levels.normal
  return [
    { key: 'webForce', title: 'Force of the web, all cells, at normal tension', figure: uncertain.webForce, unit: 'N' },
    { key: 'wrap', title: 'Wrap', figure: uncertain.wrap, unit: 'rad' },
    ...entriesOf(uncertain.sides).flatMap(([side, figure]): Chosen[] => {
      const name = SIDES[side].name
      const source = signals[side]
      return [
        { key: `force ${side}`, title: `Force of the web, ${name}`, figure: figure.webForce, unit: 'N' },
        { key: `factor ${side}`, title: `Force factor, ${name}`, figure: figure.forceFactor, unit: '1' },
        { key: `bare ${side}`, title: `Bare roller, ${name}`, figure: figure.bareForce, unit: 'N' },
        ...(source?.kind === 'output'
          ? [{ key: `signal ${side}`, title: `Signal, ${name}`, figure: figure.signal, unit: source.unit }]
          : []),
      ]
    }),
  ]
}

/** Rows that say less than this of the variance are summed up. */
const TELLING = 0.0005

function BudgetTable({ chosen: { figure, unit, title } }: { readonly chosen: Chosen }) {
  const units = useUnits()
  const rows = figure.budget.filter(({ share }) => share >= TELLING).sort((a, b) => b.share - a.share)
  const rest = figure.budget.length - rows.length
  const total =
    unit === 'rad'
      ? plainWithU(degrees(figure.value), degrees(figure.U), '°')
      : unit === '1'
        ? plainWithU(figure.value, figure.U, '')
        : unit === 'N'
          ? units.figure(figure.value, figure.U, 'N').text
          : plainWithU(figure.value, figure.U, unit)
  return (
    <>
      <WideBox label="Uncertainty budget">
        <table className={styles.table} data-testid="budget">
          <caption>
            {title}: {total} (U, about 95{NBSP}%, k = {formatTrimmed(figure.k)})
          </caption>
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
                <td>{inputInWords(row.value, row.unit, units)}</td>
                <td>{inputInWords(row.u, row.unit, units)}</td>
                <td>{sensitivityInWords(row, unit)}</td>
                <td>{outputInWords(row.contribution, unit)}</td>
                <td>{percent(row.share)}</td>
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

/** Unit and size of one step of an input, as a reader counts it. */
const COUNTED: Readonly<Record<string, readonly [unit: string, si: number]>> = {
  rad: ['°', Math.PI / 180],
  m: ['mm', 1e-3],
  'kg/m²': ['g/m²', 1e-3],
}

function sensitivityInWords({ sensitivity, unit: of }: BudgetRow, unit: string): string {
  const [name, si] = COUNTED[of] ?? [of, 1]
  return `${outputInWords(sensitivity * si, unit)}${name === '1' ? '' : ` per${NBSP}${name}`}`
}

function outputInWords(value: number, unit: string): string {
  const shown = unit === 'rad' ? degrees(value) : value
  const text =
    Math.abs(shown) < 1e-9 ? '0' : formatNumber(shown, Math.max(0, 2 - Math.floor(Math.log10(Math.abs(shown)))))
  return unit === 'rad' ? `${text}°` : withUnit(text, unit === '1' ? '' : unit)
}
