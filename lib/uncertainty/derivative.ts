/**
 * df/dx at x from central differences of step h and h/2, extrapolated (Richardson): the error falls with h⁴, so that
 * a step of about a hundredth of the scale on which f bends gives ten digits. NaN where f is undefined nearby.
 *
 * Source: Press et al., Numerical Recipes, 5.7.
 */
export function derivative(f: (x: number) => number, x: number, h: number): number {
  return derivatives((at) => [f(at)], x, h)[0] ?? Number.NaN
}

/** The same for every output of a computation with several, at four evaluations in all. */
export function derivatives(f: (x: number) => readonly number[], x: number, h: number): number[] {
  const wide = centralDifferences(f, x, h)
  return centralDifferences(f, x, h / 2).map((narrow, i) => (4 * narrow - (wide[i] ?? Number.NaN)) / 3)
}

function centralDifferences(f: (x: number) => readonly number[], x: number, h: number): number[] {
  const [above, below] = [x + h, x - h]
  const low = f(below)
  // The step really taken: x ± h is rounded.
  return f(above).map((high, i) => (high - (low[i] ?? Number.NaN)) / (above - below))
}
