/** A statistic that can be gathered in parts. */
export interface Mergeable<S> {
  merge(other: S): void
  reset(): void
}

/** What fell into one stretch of time. */
export class Bucket<S> {
  /** Which stretch of the time grid. */
  index = 0
  firstMs = 0
  lastMs = 0
  n = 0
  /** Σ(t − firstMs), for the mean time. */
  offsetSumMs = 0
  readonly stat: S

  constructor(stat: S) {
    this.stat = stat
  }

  get meanMs(): number {
    return this.n === 0 ? this.firstMs : this.firstMs + this.offsetSumMs / this.n
  }
}

export interface TimeBucketsOptions<S> {
  /** Width of a bucket at the start … */
  readonly firstWidthMs: number
  /** … and the width it may double up to when the store is full; firstWidthMs × a power of two. */
  readonly lastWidthMs: number
  /** Most buckets kept: the whole memory. */
  readonly capacity: number
  readonly make: () => S
}

/**
 * A window of time as a bounded row of mergeable buckets on an absolute time grid.
 *
 * When the row is full, neighbours merge in pairs and the width doubles, until `lastWidthMs` is reached;
 * from then on the oldest bucket makes room. So a long window gives an early answer and never grows past
 * `capacity`. O(1) a sample, amortised; allocates only on construction. Times must not run backwards
 * (an older time falls into the newest bucket).
 */
export class TimeBuckets<S extends Mergeable<S>> {
  readonly #options: TimeBucketsOptions<S>
  readonly #ring: Bucket<S>[]
  #start = 0
  #length = 0
  #widthMs: number
  #newest: Bucket<S>

  constructor(options: TimeBucketsOptions<S>) {
    if (!(options.capacity >= 2) || !(options.firstWidthMs > 0) || options.lastWidthMs < options.firstWidthMs)
      throw new RangeError('time buckets need a capacity of 2 or more and widths above zero')
    this.#options = options
    this.#ring = Array.from({ length: options.capacity }, () => new Bucket(options.make()))
    this.#widthMs = options.firstWidthMs
    this.#newest = this.#at(0)
  }

  get widthMs(): number {
    return this.#widthMs
  }

  /** Counts one sample at `tMs` and returns the statistic it belongs to. */
  touch(tMs: number): S {
    if (this.#length === 0 || Math.floor(tMs / this.#widthMs) > this.#newest.index) this.#open(tMs)
    const bucket = this.#newest
    bucket.n += 1
    bucket.offsetSumMs += tMs - bucket.firstMs
    if (tMs > bucket.lastMs) bucket.lastMs = tMs
    return bucket.stat
  }

  /** Buckets with a sample later than `sinceMs`, oldest first. */
  since(sinceMs: number): Bucket<S>[] {
    const found: Bucket<S>[] = []
    for (let i = 0; i < this.#length; i += 1) {
      const bucket = this.#at(i)
      if (bucket.lastMs > sinceMs) found.push(bucket)
    }
    return found
  }

  clear(): void {
    this.#start = 0
    this.#length = 0
    this.#widthMs = this.#options.firstWidthMs
  }

  #at(i: number): Bucket<S> {
    // The ring is filled in the constructor and the index is taken modulo its length.
    return this.#ring[(this.#start + i) % this.#ring.length] as Bucket<S>
  }

  #open(tMs: number): void {
    while (this.#length === this.#ring.length && this.#widthMs < this.#options.lastWidthMs) this.#halve()
    if (this.#length > 0 && Math.floor(tMs / this.#widthMs) <= this.#newest.index) return
    if (this.#length === this.#ring.length) {
      this.#start = (this.#start + 1) % this.#ring.length
      this.#length -= 1
    }
    const bucket = this.#at(this.#length)
    this.#length += 1
    bucket.index = Math.floor(tMs / this.#widthMs)
    bucket.firstMs = tMs
    bucket.lastMs = tMs
    bucket.n = 0
    bucket.offsetSumMs = 0
    bucket.stat.reset()
    this.#newest = bucket
  }

  /** Doubles the width: buckets that now share a stretch of the grid merge, in place. */
  #halve(): void {
    this.#widthMs *= 2
    let kept = 0
    for (let i = 0; i < this.#length; i += 1) {
      const from = this.#at(i)
      from.index = Math.floor(from.index / 2)
      const into = kept === 0 ? undefined : this.#at(kept - 1)
      if (into !== undefined && into.index === from.index) mergeBucket(into, from)
      else {
        if (kept !== i) this.#swap(kept, i)
        kept += 1
      }
    }
    this.#length = kept
    this.#newest = this.#at(kept - 1)
  }

  #swap(i: number, j: number): void {
    const a = (this.#start + i) % this.#ring.length
    const b = (this.#start + j) % this.#ring.length
    const first = this.#at(i)
    this.#ring[a] = this.#at(j)
    this.#ring[b] = first
  }
}

function mergeBucket<S extends Mergeable<S>>(into: Bucket<S>, from: Bucket<S>): void {
  into.offsetSumMs += from.offsetSumMs + from.n * (from.firstMs - into.firstMs)
  into.n += from.n
  into.lastMs = from.lastMs
  into.stat.merge(from.stat)
}
