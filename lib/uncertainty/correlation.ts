import type { Correlation, Input } from './uncertain.ts'

/** Rows of the correlation matrix of the inputs, in their order. */
export type CorrelationMatrix = readonly (readonly number[])[]

/**
 * The correlation matrix of the inputs: ones, and the coefficients given. Throws RangeError for a name that is no
 * input, or a coefficient beyond ±1.
 */
export function correlationMatrix(inputs: readonly Input[], correlations: readonly Correlation[]): CorrelationMatrix {
  const matrix = inputs.map((_, i) => inputs.map((_, j) => (i === j ? 1 : 0)))
  const indexOf = (name: string): number => {
    const index = inputs.findIndex((input) => input.name === name)
    if (index < 0) throw new RangeError(`correlation names "${name}", which is not an input`)
    return index
  }
  for (const { between, r } of correlations) {
    const [i, j] = [indexOf(between[0]), indexOf(between[1])]
    if (i === j || !(Math.abs(r) <= 1))
      throw new RangeError(
        `correlation ${r} between "${between[0]}" and "${between[1]}": expected −1 to 1 of two inputs`,
      )
    ;(matrix[i] as number[])[j] = r
    ;(matrix[j] as number[])[i] = r
  }
  return matrix
}

/** Below this a pivot is a rounding error and its input follows from the ones before. */
const NO_PIVOT = 1e-12

/**
 * Lower triangle L with L·Lᵀ = the matrix, for drawing correlated normals (JCGM 101, 6.4.8 and C.5). A coefficient of
 * ±1 is allowed. Throws RangeError for coefficients that contradict one another.
 */
export function choleskyOf(matrix: CorrelationMatrix): number[][] {
  const lower: number[][] = []
  matrix.forEach((row, i) => {
    const made: number[] = []
    for (let j = 0; j <= i; j += 1) {
      const above = lower[j] ?? made
      let rest = row[j] ?? 0
      for (let k = 0; k < j; k += 1) rest -= (made[k] ?? 0) * (above[k] ?? 0)
      if (i === j) {
        if (rest < -NO_PIVOT) throw new RangeError('the correlations contradict one another: no such inputs can be')
        made.push(Math.sqrt(Math.max(0, rest)))
      } else {
        const pivot = above[j] ?? 0
        if (pivot < Math.sqrt(NO_PIVOT) && Math.abs(rest) > Math.sqrt(NO_PIVOT))
          throw new RangeError('the correlations contradict one another: no such inputs can be')
        made.push(pivot < Math.sqrt(NO_PIVOT) ? 0 : rest / pivot)
      }
    }
    lower.push(made)
  })
  return lower
}
