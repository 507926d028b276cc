import type { Side } from '../../../shared/sample.ts'
import type { CalibrationResult } from '../../../shared/schemas/compute-calibration.ts'
import type { ComputedFigure } from '../../../shared/schemas/computed-figure.ts'
import type { Answer } from '../../_ui/ask.ts'
import { formatTrimmed, withUnit } from '../../_ui/format.ts'
import { SideSwatch } from '../../_ui/SideSwatch.tsx'
import { SIDES } from '../../_ui/sides.ts'
import { useUnits } from '../../_ui/units.tsx'
import { VerdictMark } from '../../_ui/VerdictMark.tsx'
import styles from './Calibration.module.css'
import { Refusal } from './Refusal.tsx'
import type { Prepared } from './request.ts'

type FigureName =
  | 'gain'
  | 'gainDifference'
  | 'zero'
  | 'nonlinearity'
  | 'hysteresis'
  | 'halfDifference'
  | 'repeatability'
  | 'zeroReturn'

const LABELS: Record<FigureName, string> = {
  gain: 'Gain',
  gainDifference: 'Found against expected gain',
  zero: 'Zero',
  nonlinearity: 'Nonlinearity',
  hysteresis: 'Hysteresis, friction of rope and bearings included',
  halfDifference: 'Half of up less down, per force',
  repeatability: 'Repeatability',
  zeroReturn: 'Zero return',
}
const NAMES = Object.keys(LABELS) as FigureName[]

interface FitFiguresProps {
  readonly side: Side
  readonly prepared: Prepared
  readonly answer: Answer<CalibrationResult> | null
}

/** What the gateway makes of one side's points: each figure with uncertainty, limit and verdict. */
export function FitFigures({ side, prepared, answer }: FitFiguresProps) {
  return (
    <section className={styles.fit} aria-label={SIDES[side].title} data-testid={`fit-${side}`}>
      <h3>
        <SideSwatch side={side} /> {SIDES[side].title}
      </h3>
      {!prepared.ok && <p className={styles.soft}>Not computed: {prepared.missing}.</p>}
      {answer !== null && !answer.ok && <Refusal failure={answer.failure} what="Not computed." />}
      {answer?.ok && <Told result={answer.value} />}
    </section>
  )
}

function Told({ result }: { readonly result: CalibrationResult }) {
  return (
    <>
      <FigureTable
        figures={NAMES.flatMap((name) => {
          const figure = result[name]
          return figure === null ? [] : [{ name, label: LABELS[name], figure }]
        })}
      />
      <ul className={styles.notes}>
        {result.notes.map((note) => (
          <li key={note}>{note}</li>
        ))}
      </ul>
    </>
  )
}

export interface NamedFigure {
  readonly name: string
  readonly label: string
  readonly figure: ComputedFigure
}

/** Figures with value, uncertainty, limit with its source, and verdict. */
export function FigureTable({ figures }: { readonly figures: readonly NamedFigure[] }) {
  return (
    <table className={styles.figures}>
      <thead>
        <tr>
          <th scope="col">Figure</th>
          <th scope="col">Value ± U (95 %)</th>
          <th scope="col">Limit</th>
          <th scope="col">Verdict</th>
        </tr>
      </thead>
      <tbody>
        {figures.map((one) => (
          <FigureRow key={one.name} {...one} />
        ))}
      </tbody>
    </table>
  )
}

function FigureRow({ name, label, figure }: NamedFigure) {
  const units = useUnits()
  const { value, U, unit, limit, verdict, waiting } = figure
  return (
    <tr data-testid={`figure-${name}`} data-state={verdict.state}>
      <th scope="row">
        {label}
        <span className={styles.sentence}>{waiting ?? (limit === null ? '' : verdict.sentence)}</span>
      </th>
      <td>{value === null ? '' : shown(value, U, unit, units)}</td>
      <td>
        {limit === null ? (
          'none'
        ) : (
          <>
            ±{withUnit(formatTrimmed(limit.half), unit)}
            <span className={styles.sentence}>{limit.source}</span>
          </>
        )}
      </td>
      <td>
        {limit === null ? <span className={styles.soft}>for information</span> : <VerdictMark state={verdict.state} />}
      </td>
    </tr>
  )
}

function shown(value: number, U: number | null, unit: string, units: ReturnType<typeof useUnits>): string {
  return U === null
    ? `${units.figure(value, null, unit).text}, uncertainty not known yet`
    : units.figure(value, U, unit).text
}
