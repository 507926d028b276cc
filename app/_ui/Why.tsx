import type { Figure, FigureInput } from '../../shared/schemas/now.ts'
import { formatDuration, formatTrimmed, NBSP } from './format.ts'
import { type Units, useUnits } from './units.tsx'
import styles from './Why.module.css'

/** The numbers, the window, the formula and its source behind a figure: opened by the reader. */
export function Why({ figure, of }: { readonly figure: Figure; readonly of: string }) {
  return (
    <details className={styles.why}>
      <summary className={styles.summary}>
        why<span className="heard-only"> {of} is judged so</span>
      </summary>
      <div className={styles.body}>
        <Terms figure={figure} />
        {figure.why.inputs.length > 0 && <Inputs inputs={figure.why.inputs} />}
      </div>
    </details>
  )
}

function Terms({ figure }: { readonly figure: Figure }) {
  const units = useUnits()
  return (
    <dl className={styles.terms}>
      <dt>Formula</dt>
      <dd>{figure.why.formula}</dd>
      <dt>Source</dt>
      <dd>{figure.why.source}</dd>
      {figure.limit !== null && (
        <>
          <dt>Limit</dt>
          <dd>
            {figure.limit.target === 0 ? '' : `${units.plain(figure.limit.target, figure.unit, false)} `}±{NBSP}
            {units.plain(figure.limit.half, figure.unit, true)}: {figure.limit.source}
          </dd>
        </>
      )}
      {figure.value !== null && figure.U !== null && (
        <>
          <dt>Uncertainty</dt>
          <dd>{uncertaintyInWords(figure, units)}</dd>
        </>
      )}
      {figure.window !== null && (
        <>
          <dt>Window</dt>
          <dd>{windowInWords(figure.window)}</dd>
        </>
      )}
    </dl>
  )
}

function uncertaintyInWords(figure: Figure, units: Units): string {
  const U = units.figure(figure.value ?? 0, figure.U, figure.unit)
  const k = figure.k === null ? '' : `, k = ${formatTrimmed(figure.k)}`
  const dof = figure.dof === null ? '' : ` for ${formatTrimmed(figure.dof)} effective degrees of freedom`
  const random = figure.uRandom === null ? null : units.figure(0, figure.uRandom, figure.unit)
  const part = random === null ? '' : `; random part u = ${random.U}${NBSP}${random.unit}`
  return `U = ${U.U}${NBSP}${U.unit} at about 95${NBSP}%${k}${dof}${part}`
}

function windowInWords(window: NonNullable<Figure['window']>): string {
  const effective =
    window.effectiveSamples === null
      ? ''
      : `, worth ${formatTrimmed(window.effectiveSamples)} independent ones (neighbours are alike)`
  return `${formatDuration(window.seconds)}, ${formatTrimmed(window.samples)} samples${effective}`
}

function Inputs({ inputs }: { readonly inputs: readonly FigureInput[] }) {
  const units = useUnits()
  return (
    <table className={styles.inputs}>
      <caption>What was put in</caption>
      <thead>
        <tr>
          <th scope="col">Input</th>
          <th scope="col">Value</th>
          <th scope="col">Standard uncertainty u</th>
        </tr>
      </thead>
      <tbody>
        {inputs.map((input) => {
          const shown = input.value === null ? null : units.figure(input.value, input.u, input.unit)
          return (
            <tr key={input.name}>
              <th scope="row">{input.name}</th>
              <td>{shown === null ? 'unknown' : `${shown.value}${NBSP}${shown.unit}`}</td>
              <td>{shown?.U == null ? 'none' : `${shown.U}${NBSP}${shown.unit}`}</td>
            </tr>
          )
        })}
      </tbody>
    </table>
  )
}
