const HEADROOM = 1.25
const STEPS = [1, 2, 5, 10]

/**
 * A capacity to work with where nobody gave one: 1.25 times the largest force, rounded up to 1, 2 or 5 times a power of
 * ten (common practice, no source: cells come in such steps and are not chosen to the brim). Same unit as the force.
 * @param largestForce over 0
 */
export function assumedCapacity(largestForce: number): number {
  const wanted = HEADROOM * largestForce
  const exponent = Math.floor(Math.log10(wanted))
  // Written as digits: 5e-3 is the number meant, 5 × 10 ** -3 one beside it.
  const steps = STEPS.map((step) => Number(`${step}e${exponent}`))
  return steps.find((capacity) => capacity >= wanted) ?? Number(`1e${exponent + 1}`)
}
