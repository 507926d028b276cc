import type { ComputedFigure } from '../../shared/schemas/computed-figure.ts'
import type { FigureLimit } from '../../shared/schemas/now.ts'
import type { UncertaintyInput } from '../statistics/systematic.ts'
import type { FigureFormula } from '../verdicts/formulas.ts'
import { expand, type Judgement, judge } from '../verdicts/judge.ts'
import { verdictOf } from '../verdicts/sentence.ts'

/** A figure of a calibration with what its verdict needs. */
export interface CalibrationQuantity {
  readonly value: number
  /** Random standard uncertainty and its degrees of freedom; undefined when nothing tells it. */
  readonly uRandom: number | undefined
  readonly dof: number
  readonly systematic: readonly UncertaintyInput[]
  /** Numbers that went in beside those: for the reader. */
  readonly inputs: readonly UncertaintyInput[]
}

/** A figure, or why it cannot be told from these readings. */
export type CalibrationOutcome =
  | { readonly kind: 'told'; readonly quantity: CalibrationQuantity }
  | { readonly kind: 'cannot'; readonly why: string }

export const cannot = (why: string): CalibrationOutcome => ({ kind: 'cannot', why })

/** A number that went in, for the reader; without an effect of its own on the uncertainty. */
export const plainInput = (name: string, value: number | null, unit: string): UncertaintyInput => ({
  name,
  value,
  unit,
  u: null,
  contribution: 0,
})

export interface CalibrationFigureSpec {
  readonly unit: string
  readonly why: FigureFormula
  /** null: for information. */
  readonly limit: FigureLimit | null
  /** How often the whole was repeated, and the words for one and for many, to say how often more would settle it. */
  readonly repeats: { readonly count: number; readonly words: readonly [one: string, many: string] }
}

const NO_SCATTER = 'how well a reading repeats is not known: repeat the cycle, or state the uncertainty of each reading'

/** An outcome as a figure with its verdict. */
export function calibrationFigure(outcome: CalibrationOutcome, spec: CalibrationFigureSpec): ComputedFigure {
  const { unit, limit } = spec
  const nothing = { u: null, uRandom: null, U: null, k: null, dof: null }
  if (outcome.kind === 'cannot') {
    const verdict = verdictOf('not-done', { kind: 'waiting', for: outcome.why })
    const waiting = `${outcome.why.charAt(0).toUpperCase()}${outcome.why.slice(1)}.`
    return { value: null, unit, ...nothing, limit, verdict, waiting, why: { ...spec.why, inputs: [] } }
  }
  const { quantity } = outcome
  const { value, uRandom } = quantity
  const why = { ...spec.why, inputs: [...quantity.inputs, ...quantity.systematic].map(inputOf) }
  if (uRandom === undefined) {
    const verdict = verdictOf('unknown', { kind: 'waiting', for: NO_SCATTER })
    return { value, unit, ...nothing, limit, verdict, waiting: null, why }
  }
  const measured = { ...quantity, uRandom }
  const { u, U, k, dof } = expand(measured)
  return { value, unit, u, uRandom, U, k, dof, limit, verdict: verdictOn(measured, spec), waiting: null, why }
}

function verdictOn(quantity: CalibrationQuantity & { readonly uRandom: number }, spec: CalibrationFigureSpec) {
  if (spec.limit === null) return verdictOf('not-done', { kind: 'no-limit' })
  const { target, half } = spec.limit
  // Repeats stand for seconds: scatter falls with their number as a mean's falls with time.
  const { state, reason } = judge(
    quantity,
    { kind: 'band', target, half },
    {
      seconds: spec.repeats.count,
      longestSeconds: Number.POSITIVE_INFINITY,
      power: 1,
      setting: spec.repeats.words[1],
      mostSettableSeconds: Number.POSITIVE_INFINITY,
    },
  )
  return verdictOf(state, reason.kind === 'needs-time' ? moreRepeats(reason.seconds, spec) : reason)
}

function moreRepeats(more: number, { repeats }: CalibrationFigureSpec): Judgement['reason'] {
  const count = Math.max(1, Math.ceil(more))
  const input = `scatter of the readings (about ${count} more ${repeats.words[count === 1 ? 0 : 1]} would settle it)`
  return { kind: 'no-time-will-settle', input }
}

function inputOf({ name, value, unit, u, contribution }: UncertaintyInput) {
  return { name, value, unit, u, contribution: u === null && contribution === 0 ? null : contribution }
}
