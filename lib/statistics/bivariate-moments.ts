/**
 * Running means, squared deviations and co-deviation of pairs (x, y).
 *
 * The same one-pass update and exact merge as `Moments`, with the cross term (Chan, Golub, LeVeque 1983;
 * P. Pébay, Sandia report SAND2008-6212, 2008). Any a·x + b·y has its mean and variance from these five
 * numbers, so correlated sides need no second pass. Empty: n 0 and zeros. Values must be finite.
 */
export class BivariateMoments {
  n = 0
  meanX = 0
  meanY = 0
  /** Σ(x − meanX)², Σ(y − meanY)², Σ(x − meanX)(y − meanY). */
  mxx = 0
  myy = 0
  mxy = 0

  add(x: number, y: number): void {
    this.n += 1
    const dx = x - this.meanX
    const dy = y - this.meanY
    this.meanX += dx / this.n
    this.meanY += dy / this.n
    this.mxx += dx * (x - this.meanX)
    this.myy += dy * (y - this.meanY)
    this.mxy += dx * (y - this.meanY)
  }

  /** Takes in every pair `other` has seen; `other` is unchanged. */
  merge(other: BivariateMoments): void {
    if (other.n === 0) return
    const n = this.n + other.n
    const share = (this.n * other.n) / n
    const dx = other.meanX - this.meanX
    const dy = other.meanY - this.meanY
    this.mxx += other.mxx + dx * dx * share
    this.myy += other.myy + dy * dy * share
    this.mxy += other.mxy + dx * dy * share
    this.meanX += (dx * other.n) / n
    this.meanY += (dy * other.n) / n
    this.n = n
  }

  reset(): void {
    this.n = 0
    this.meanX = 0
    this.meanY = 0
    this.mxx = 0
    this.myy = 0
    this.mxy = 0
  }

  /** Mean of a·x + b·y. */
  meanOf(a: number, b: number): number {
    return a * this.meanX + b * this.meanY
  }

  /** Sample variance (n − 1) of a·x + b·y; undefined with fewer than two pairs. */
  varianceOf(a: number, b: number): number | undefined {
    if (this.n < 2) return undefined
    return Math.max(0, a * a * this.mxx + 2 * a * b * this.mxy + b * b * this.myy) / (this.n - 1)
  }
}
