/**
 * Running count, mean, sum of squared deviations and extremes of a sample.
 *
 * One pass, O(1) a value, no large sums to cancel: B. P. Welford, "Note on a method for calculating
 * corrected sums of squares and products", Technometrics 4 (1962) 419–420. Two of them merge exactly:
 * T. F. Chan, G. H. Golub, R. J. LeVeque, "Algorithms for computing the sample variance", The American
 * Statistician 37 (1983) 242–247. Empty: n 0, mean 0, min +∞, max −∞. Values must be finite.
 */
export class Moments {
  n = 0
  mean = 0
  /** Σ(x − mean)². */
  m2 = 0
  min = Number.POSITIVE_INFINITY
  max = Number.NEGATIVE_INFINITY

  add(x: number): void {
    this.n += 1
    const fromOldMean = x - this.mean
    this.mean += fromOldMean / this.n
    this.m2 += fromOldMean * (x - this.mean)
    if (x < this.min) this.min = x
    if (x > this.max) this.max = x
  }

  /** Takes in every value `other` has seen; `other` is unchanged. */
  merge(other: Moments): void {
    if (other.n === 0) return
    const n = this.n + other.n
    const apart = other.mean - this.mean
    this.m2 += other.m2 + (apart * apart * this.n * other.n) / n
    this.mean += (apart * other.n) / n
    this.n = n
    if (other.min < this.min) this.min = other.min
    if (other.max > this.max) this.max = other.max
  }

  reset(): void {
    this.n = 0
    this.mean = 0
    this.m2 = 0
    this.min = Number.POSITIVE_INFINITY
    this.max = Number.NEGATIVE_INFINITY
  }

  /** Sample variance (n − 1), in the unit squared; undefined with fewer than two values. */
  get variance(): number | undefined {
    return this.n < 2 ? undefined : this.m2 / (this.n - 1)
  }
}
