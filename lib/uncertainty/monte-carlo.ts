import { choleskyOf, correlationMatrix } from './correlation.ts'
import type { Model } from './propagate.ts'
import { Random } from './random.ts'
import { numericalTolerance } from './tolerance.ts'
import type { Correlation, Input } from './uncertain.ts'

export interface MonteCarloOptions {
  readonly seed: number
  /** Significant digits of u that must stand still: 1 or 2. */
  readonly digits: 1 | 2
  /** Draws in one batch (the standard: at least 10⁴ for 95 %) and the most batches to spend. */
  readonly batchDraws: number
  readonly mostBatches: number
}

/**
 * Up to 10 batches of 10⁴, two digits: what a zone's figures take about a second of one core for. Some outputs then
 * stand still to one digit only; `stable` and `error` say so.
 */
export const MONTE_CARLO: MonteCarloOptions = { seed: 1, digits: 2, batchDraws: 10_000, mostBatches: 10 }

/** The standard asks for two; a scatter told by two batches is small by chance too often, and would stop too early. */
const LEAST_BATCHES = 5

/** What the distribution of an output looks like. */
export interface Distribution {
  readonly mean: number
  /** Standard deviation. */
  readonly u: number
  /** Ends of the interval that leaves 2.5 % out on each side. */
  readonly low: number
  readonly high: number
  readonly draws: number
  /** Draws at which the output was undefined; they are left out of the other figures. */
  readonly undefinedDraws: number
  /** Largest standard error, over the batches, of mean, u, low and high: what the draws themselves leave open. */
  readonly error: number
  /** Whether twice that error is within the numerical tolerance of u to the digits asked. */
  readonly stable: boolean
}

/**
 * Propagation of distributions (JCGM 101, clause 7) with the adaptive number of draws of 7.9: batches are added until
 * mean, u and both ends of the 95 % interval of every output stand still to the digits asked, or the most is reached
 * (`stable` then says so). Correlated inputs are drawn as joint normals (6.4.8), an input of ν degrees of freedom as
 * x + u·t(ν) (6.4.9). Throws RangeError where a correlated input is no plain normal: its joint distribution is not known.
 */
export function monteCarlo(
  model: Model,
  inputs: readonly Input[],
  correlations: readonly Correlation[],
  options: MonteCarloOptions,
): Distribution[] {
  const draw = drawer(inputs, correlations, Random.seeded(options.seed))
  const outputs = model(inputs.map(({ value }) => value)).map(() => new Output())
  for (let batch = 0; batch < options.mostBatches; batch += 1) {
    const columns = outputs.map(() => new Float64Array(options.batchDraws))
    for (let i = 0; i < options.batchDraws; i += 1) {
      const y = model(draw())
      for (let o = 0; o < columns.length; o += 1) (columns[o] as Float64Array)[i] = y[o] ?? Number.NaN
    }
    outputs.forEach((output, o) => {
      output.add(columns[o] as Float64Array)
    })
    if (batch + 1 >= LEAST_BATCHES && outputs.every((output) => output.isStable(options.digits))) break
  }
  return outputs.map((output) => output.distribution(options.digits))
}

function drawer(inputs: readonly Input[], correlations: readonly Correlation[], random: Random): () => number[] {
  const matrix = correlationMatrix(inputs, correlations)
  const lower = choleskyOf(matrix)
  const correlated = matrix.map((row) => row.filter((r) => r !== 0).length > 1)
  inputs.forEach(({ name, shape, dof }, i) => {
    if (correlated[i] && (shape === 'rectangular' || dof !== undefined))
      throw new RangeError(`"${name}" is correlated and not a plain normal: its joint distribution is not known`)
  })
  const normals = new Float64Array(inputs.length)
  return () => {
    for (let i = 0; i < normals.length; i += 1) if (correlated[i]) normals[i] = random.normal()
    return inputs.map((input, i) => {
      if (input.u === 0) return input.value
      if (!correlated[i]) return input.value + input.u * deviate(input, random)
      const row = lower[i] ?? []
      return input.value + input.u * row.reduce((sum, l, j) => sum + l * (normals[j] ?? 0), 0)
    })
  }
}

function deviate({ shape, dof }: Input, random: Random): number {
  if (shape === 'rectangular') return Math.sqrt(3) * (2 * random.uniform() - 1)
  return dof === undefined || !Number.isFinite(dof) ? random.normal() : random.studentT(dof)
}

/** One output over the batches so far. */
class Output {
  readonly #batches: Float64Array[] = []
  readonly #figures: Figures[] = []

  add(column: Float64Array): void {
    const defined = column.filter((y) => !Number.isNaN(y)).sort()
    this.#batches.push(defined)
    this.#figures.push(figuresOf(defined))
    this.#drawn += column.length
  }
  #drawn = 0

  isStable(digits: 1 | 2): boolean {
    const u = this.#meanOf(({ u }) => u)
    const error = this.#error()
    return u === 0 ? error === 0 : 2 * error < numericalTolerance(u, digits)
  }

  distribution(digits: 1 | 2): Distribution {
    const all = new Float64Array(this.#batches.reduce((n, batch) => n + batch.length, 0))
    let at = 0
    for (const batch of this.#batches) {
      all.set(batch, at)
      at += batch.length
    }
    return {
      ...figuresOf(all.sort()),
      draws: this.#drawn,
      undefinedDraws: this.#drawn - all.length,
      error: this.#error(),
      stable: this.isStable(digits),
    }
  }

  #meanOf(pick: (figures: Figures) => number): number {
    return this.#figures.reduce((sum, figures) => sum + pick(figures), 0) / this.#figures.length
  }

  /** s/√h of each figure over the h batches (JCGM 101, 7.9.4 e), the largest of the four. */
  #error(): number {
    const h = this.#figures.length
    const errorOf = (pick: (figures: Figures) => number): number => {
      const mean = this.#meanOf(pick)
      const squares = this.#figures.reduce((sum, figures) => sum + (pick(figures) - mean) ** 2, 0)
      return Math.sqrt(squares / (h * (h - 1)))
    }
    return Math.max(...(['mean', 'u', 'low', 'high'] as const).map((key) => errorOf((figures) => figures[key])))
  }
}

interface Figures {
  readonly mean: number
  readonly u: number
  readonly low: number
  readonly high: number
}

function figuresOf(sorted: Float64Array): Figures {
  const n = sorted.length
  if (n < 2) return { mean: Number.NaN, u: Number.NaN, low: Number.NaN, high: Number.NaN }
  // About the middle draw, so that a spread much smaller than the value keeps its digits.
  const middle = sorted[n >> 1] ?? 0
  const mean = sorted.reduce((sum, y) => sum + (y - middle), 0) / n
  const squares = sorted.reduce((sum, y) => sum + (y - middle - mean) ** 2, 0)
  return {
    mean: middle + mean,
    u: Math.sqrt(squares / (n - 1)),
    low: quantile(sorted, 0.025),
    high: quantile(sorted, 0.975),
  }
}

/** Linear between order statistics at (r − ½)/n (JCGM 101, 7.5.1 and D.2). */
function quantile(sorted: Float64Array, p: number): number {
  const place = p * sorted.length - 0.5
  const i = Math.max(0, Math.min(sorted.length - 2, Math.floor(place)))
  const [here, next] = [sorted[i] ?? Number.NaN, sorted[i + 1] ?? Number.NaN]
  return here + (next - here) * Math.max(0, Math.min(1, place - i))
}
