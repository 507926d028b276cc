import type { Side } from '../../shared/sample.ts'
import type { ComputedFigure } from '../../shared/schemas/computed-figure.ts'
import type { Figure, Verdict } from '../../shared/schemas/now.ts'
import type { RecordFigure } from '../../shared/schemas/verification/result.ts'
import { withUnit } from '../statistics/plus-minus.ts'
import { type Averaging, expand, judge, type Measured } from '../verdicts/judge.ts'
import { verdictOf } from '../verdicts/sentence.ts'
import type { RecordLimit } from './limits.ts'

type Why = RecordFigure['why']
type WhyInput = Why['inputs'][number]

export interface FigureName {
  readonly id: string
  readonly title: string
  readonly side?: Side | null
  readonly point?: string | null
}

/** What live figures, rates of a shift and computed figures have in common. */
type ToldFigure = Pick<
  Figure | ComputedFigure,
  'value' | 'unit' | 'u' | 'uRandom' | 'U' | 'k' | 'dof' | 'limit' | 'verdict' | 'why'
>

/** A systematic part of a figure's uncertainty, named, in the figure's unit. */
export interface Part {
  readonly name: string
  readonly contribution: number
  readonly dof?: number
}

export interface MeasuredFigure extends FigureName {
  readonly value: number
  readonly unit: string
  /** Random standard uncertainty and its degrees of freedom; none where it is one reading of an instrument. */
  readonly uRandom?: number
  readonly dof?: number
  readonly parts?: readonly Part[]
  /** null: for information. */
  readonly limit: RecordLimit | null
  readonly averaging?: Averaging | null
  readonly formula: string
  readonly source: string
  readonly inputs?: readonly WhyInput[]
}

const base = ({ id, title, side = null, point = null }: FigureName) => ({ id, title, side, point })
const NO_U = { u: null, uRandom: null, U: null, k: null, dof: null }

/** A figure with its verdict by the one rule; for information where it has no limit. Unknown where its numbers are none. */
export function measured(figure: MeasuredFigure): RecordFigure {
  const { value, unit, uRandom = 0, limit, formula, source, inputs = [] } = figure
  const contributions = (figure.parts ?? []).map(({ contribution }) => contribution)
  if (![value, uRandom, ...contributions].every(Number.isFinite))
    return untold(figure, unit, 'the readings make no number of it', limit)
  const dof = figure.dof ?? Number.POSITIVE_INFINITY
  const of: Measured = { value, uRandom, dof, systematic: figure.parts ?? [] }
  const { u, U, k, dof: dofOrNull } = expand(of)
  return {
    ...base(figure),
    value,
    unit,
    answer: null,
    u,
    uRandom,
    U,
    k,
    dof: dofOrNull,
    limit,
    verdict: verdictOn(of, limit, figure.averaging ?? null),
    why: { formula, source, inputs: [...inputs] },
  }
}

function verdictOn(of: Measured, limit: RecordLimit | null, averaging: Averaging | null): Verdict {
  if (limit === null) return verdictOf('not-done', { kind: 'no-limit' })
  const { state, reason } = judge(of, { kind: 'interval', low: limit.low, high: limit.high }, averaging)
  return verdictOf(state, reason)
}

/** A yes or no of a person: inside when it is what it should be. */
export function answered(name: FigureName, isYes: boolean, expects: 'yes' | 'no', says: string): RecordFigure {
  const answer = isYes ? 'yes' : 'no'
  const isRight = answer === expects
  return {
    ...base(name),
    value: null,
    unit: '',
    answer,
    ...NO_U,
    limit: { low: null, high: null, text: `must be ${expects}`, source: says },
    verdict: isRight ? verdictOf('inside', { kind: 'inside' }) : verdictOf('outside', { kind: 'outside' }),
    why: { formula: 'seen and answered by a person', source: says, inputs: [] },
  }
}

/** A yes or no that is good to know and right either way. */
export const noted = (name: FigureName, isYes: boolean, says: string): RecordFigure => ({
  ...answered(name, isYes, 'yes', says),
  limit: null,
  verdict: verdictOf('not-done', { kind: 'no-limit' }),
})

/** A figure that cannot be told, with why: never a number, never inside. */
export function untold(name: FigureName, unit: string, why: string, limit: RecordLimit | null = null): RecordFigure {
  return {
    ...base(name),
    value: null,
    unit,
    answer: null,
    ...NO_U,
    limit,
    verdict: verdictOf('unknown', { kind: 'waiting', for: why }),
    why: { formula: 'not told', source: '', inputs: [] },
  }
}

/** A figure that another part of the product told, as a record keeps it. */
export function asRecorded(name: FigureName, figure: ToldFigure): RecordFigure {
  const { value, unit, u, uRandom, U, k, dof, limit, verdict, why } = figure
  return {
    ...base(name),
    value,
    unit,
    answer: null,
    u,
    uRandom,
    U,
    k,
    dof,
    limit:
      limit === null
        ? null
        : {
            low: limit.target - limit.half,
            high: limit.target + limit.half,
            text: `±${withUnit(String(limit.half), unit)}`,
            source: limit.source,
          },
    verdict,
    why: {
      formula: why.formula,
      source: why.source,
      inputs: why.inputs.map((one) => input(one.name, one.value, one.unit, one.u)),
    },
  }
}

/** A number that went in, for the reader. */
export const input = (name: string, value: number | null, unit: string, u: number | null = null): WhyInput => ({
  name,
  value,
  unit,
  u,
})

/** For a verdict that more repeats would settle. */
export const repeats = (count: number, setting: string): Averaging => ({
  seconds: Math.max(1, count),
  longestSeconds: Number.POSITIVE_INFINITY,
  power: 1,
  setting,
  mostSettableSeconds: Number.POSITIVE_INFINITY,
})
