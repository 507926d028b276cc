import type { Figure, FigureInput } from '../../shared/schemas/now.ts'
import { formatDuration, formatTrimmed, NBSP, withUnit } from './format.ts'
import { type Units, useUnits } from './units.tsx'
import styles from './Why.module.css'
import { WhyHelp } from './WhyHelp.tsx'

interface WhyButtonProps {
  /** Id of the panel it opens. */
  readonly panelId: string
  /** What is explained, for those who hear the page. */
  readonly of: string
  readonly isOpen: boolean
  readonly onToggle: () => void
}

/** Stays where it is when it opens, so that the same touch closes it. */
export function WhyButton({ panelId, of, isOpen, onToggle }: WhyButtonProps) {
  return (
    <button type="button" className={styles.button} aria-expanded={isOpen} aria-controls={panelId} onClick={onToggle}>
      why<span className="heard-only"> {of} is judged so</span>
    </button>
  )
}

/** The numbers, the window, the formula and its source behind a figure. */
export function WhyPanel({ id, figure }: { readonly id: string; readonly figure: Figure }) {
  return (
    <div id={id} className={styles.panel}>
      <Terms figure={figure} />
      {figure.why.inputs.length > 0 && <Inputs inputs={figure.why.inputs} unit={figure.unit} />}
      <WhyHelp figure={figure} />
    </div>
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
            {figure.limit.target === 0 ? '' : `${units.plain(figure.limit.target, figure.unit, false)} `}±
            {units.plain(figure.limit.half, figure.unit, true)}, {figure.limit.source}
          </dd>
        </>
      )}
      {figure.value !== null && figure.U !== null && (
        <>
          <dt>Uncertainty</dt>
          <dd>
            {uncertaintyInWords(figure, figure.value, units)}
            {figure.assumed === true && '; ± rests on an assumed uncertainty'}
          </dd>
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

/** From here on k is 2.0 to two digits, and the number says nothing more. */
const LARGE_DOF = 60

function uncertaintyInWords(figure: Figure, value: number, units: Units): string {
  const U = units.figure(value, figure.U, figure.unit)
  const k = figure.k === null ? '' : `, k = ${formatTrimmed(figure.k)}`
  const dof =
    figure.dof === null || figure.dof > LARGE_DOF
      ? ''
      : ` for ${formatTrimmed(figure.dof)} effective degrees of freedom`
  const random = figure.uRandom === null ? null : units.figure(0, figure.uRandom, figure.unit)
  const part = random === null ? '' : `; random part u = ${random.U}${NBSP}${random.unitOfU}`
  return `U = ${U.U}${NBSP}${U.unitOfU} at about 95${NBSP}%${k}${dof}${part}`
}

function windowInWords(window: NonNullable<Figure['window']>): string {
  const effective =
    window.effectiveSamples === null
      ? ''
      : `, worth about ${formatTrimmed(Math.round(window.effectiveSamples))} independent ones (neighbours are alike)`
  return `${formatDuration(window.seconds)}, ${formatTrimmed(window.samples)} samples${effective}`
}

function Inputs({ inputs, unit }: { readonly inputs: readonly FigureInput[]; readonly unit: Figure['unit'] }) {
  const units = useUnits()
  const hasParts = inputs.some(({ contribution }) => contribution !== undefined)
  const hasSources = inputs.some(({ source }) => source !== undefined)
  return (
    <table className={styles.inputs}>
      <caption>What was put in</caption>
      <thead>
        <tr>
          <th scope="col">Input</th>
          <th scope="col">Value</th>
          <th scope="col">Standard uncertainty u</th>
          {hasParts && <th scope="col">Its part of u</th>}
          {hasSources && <th scope="col">Where u is from</th>}
        </tr>
      </thead>
      <tbody>
        {inputs.map((input) => {
          const shown = input.value === null ? null : units.figure(input.value, input.u, input.unit)
          return (
            <tr key={input.name}>
              <th scope="row">{input.name}</th>
              <td>{valueInWords(input, shown)}</td>
              <td>{shown?.U == null ? (isTogether(input) ? '' : 'none') : withUnit(shown.U, shown.unitOfU)}</td>
              {hasParts && <td>{partInWords(input, unit, units)}</td>}
              {hasSources && <td>{input.source ?? ''}</td>}
            </tr>
          )
        })}
      </tbody>
    </table>
  )
}

/** Many small inputs in one line of the budget: they have a part, and no value of their own. */
const isTogether = ({ value, contribution }: FigureInput): boolean => value === null && contribution !== undefined

function valueInWords(input: FigureInput, shown: { value: string; unit: string } | null): string {
  if (shown !== null) return withUnit(shown.value, shown.unit)
  return isTogether(input) ? '' : 'unknown'
}

function partInWords({ contribution }: FigureInput, unit: Figure['unit'], units: Units): string {
  if (contribution === undefined) return ''
  const { U, unitOfU } = units.figure(0, contribution, unit)
  return U === null ? '' : withUnit(U, unitOfU)
}
