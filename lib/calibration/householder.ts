export interface LeastSquares {
  /** One coefficient a column. */
  readonly beta: readonly number[]
  /** (XᵀX)⁻¹, the covariance of the coefficients but for the variance of a row; symmetric. */
  readonly unitCovariance: readonly (readonly number[])[]
}

/** A column this much shorter after the others are taken out of it depends on them. */
const DEPENDENT = 1e-13

/**
 * min ‖Xβ − y‖ by Householder reflections, with one step of iterative refinement.
 *
 * `columns` are the columns of X, `y` the right-hand side, all of one length. The normal equations, which square
 * the condition number, are never formed. Undefined with fewer rows than columns, or when a column depends on
 * those before it. Source: A. S. Householder, J. ACM 5 (1958) 339–342; G. H. Golub, Numer. Math. 7 (1965)
 * 206–216; refinement: Å. Björck, BIT 7 (1967) 257–278.
 */
export function leastSquares(columns: readonly Float64Array[], y: Float64Array): LeastSquares | undefined {
  const factors = factorise(columns)
  if (factors === undefined) return undefined
  const first = solve(factors, y)
  const residual = y.map((value, i) => value - rowTimes(columns, first, i))
  const step = solve(factors, residual)
  return { beta: first.map((b, j) => b + (step[j] ?? 0)), unitCovariance: covarianceOf(factors) }
}

/** Reflectors below the diagonal with the upper triangle above it, by columns; the diagonal of R apart. */
interface Factors {
  readonly columns: readonly Float64Array[]
  readonly diagonal: readonly number[]
}

function factorise(given: readonly Float64Array[]): Factors | undefined {
  const columns = given.map((column) => column.slice())
  const diagonal: number[] = []
  for (const [k, column] of columns.entries()) {
    if (k >= column.length) return undefined
    const below = column.subarray(k)
    const size = norm(below)
    if (!(size > DEPENDENT * norm(given[k] ?? below))) return undefined
    const pivot = (below[0] as number) > 0 ? -size : size
    below[0] = (below[0] as number) - pivot
    diagonal.push(pivot)
    for (const later of columns.slice(k + 1)) reflect(below, later.subarray(k))
  }
  return { columns, diagonal }
}

/** Applies I − 2vvᵀ/vᵀv to `x`, in place. */
function reflect(v: Float64Array, x: Float64Array): void {
  const factor = (2 * inner(v, x)) / inner(v, v)
  for (let i = 0; i < x.length; i += 1) x[i] = (x[i] as number) - factor * (v[i] as number)
}

function solve({ columns, diagonal }: Factors, y: Float64Array): number[] {
  const rotated = y.slice()
  for (const [k, column] of columns.entries()) reflect(column.subarray(k), rotated.subarray(k))
  const beta = new Array<number>(columns.length).fill(0)
  for (let j = columns.length - 1; j >= 0; j -= 1) {
    let sum = rotated[j] as number
    for (let later = j + 1; later < columns.length; later += 1)
      sum -= entry(columns, j, later) * (beta[later] as number)
    beta[j] = sum / (diagonal[j] as number)
  }
  return beta
}

/** R⁻¹ R⁻ᵀ. */
function covarianceOf({ columns, diagonal }: Factors): number[][] {
  const size = columns.length
  const inverse = Array.from({ length: size }, () => new Array<number>(size).fill(0))
  for (let j = size - 1; j >= 0; j -= 1) {
    for (let k = j; k < size; k += 1) {
      let sum = j === k ? 1 : 0
      for (let m = j + 1; m <= k; m += 1) sum -= entry(columns, j, m) * at(inverse, m, k)
      ;(inverse[j] as number[])[k] = sum / (diagonal[j] as number)
    }
  }
  return inverse.map((row) => inverse.map((other) => row.reduce((sum, r, m) => sum + r * (other[m] ?? 0), 0)))
}

/** Entry of R above its diagonal: it stands in the later column. */
const entry = (columns: readonly Float64Array[], row: number, column: number): number => columns[column]?.[row] ?? 0
const at = (matrix: readonly (readonly number[])[], row: number, column: number): number => matrix[row]?.[column] ?? 0

function rowTimes(columns: readonly Float64Array[], beta: readonly number[], row: number): number {
  return columns.reduce((sum, column, j) => sum + (column[row] ?? 0) * (beta[j] ?? 0), 0)
}

function inner(a: Float64Array, b: Float64Array): number {
  let sum = 0
  for (let i = 0; i < a.length; i += 1) sum += (a[i] as number) * (b[i] as number)
  return sum
}

const norm = (v: Float64Array): number => Math.sqrt(inner(v, v))
