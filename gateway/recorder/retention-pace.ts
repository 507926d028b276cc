/** Samples that come meanwhile wait for a batch: they are to be on the disk within a second. */
export const BATCH_MS = 100
/** With fewer rows a disk that is slow to commit would do nothing else. */
export const FEWEST_ROWS = 1000
export const MOST_ROWS = 50_000
/** A batch differs from the one before by no more than this: one measurement may be off. */
const MOST_STEP = 2

/**
 * How many rows a batch of deletions has, and how long the writer is left alone after it: as many as take some
 * BATCH_MS, then a rest as long as the batch took. So half of the writer's time is always for what comes, and what is
 * let go of is let go of as fast as the disk allows: no fixed number a second would follow a fast disk and spare a slow one.
 */
export class RetentionPace {
  #rows = 2 * FEWEST_ROWS

  /** Rows of the next batch, of each kind. */
  get rows(): number {
    return this.#rows
  }

  /** A batch took so long; returns the rest after it. Both in ms. */
  took(ms: number): number {
    const step = ms > 0 ? BATCH_MS / ms : MOST_STEP
    const rows = Math.round(this.#rows * Math.min(MOST_STEP, Math.max(1 / MOST_STEP, step)))
    this.#rows = Math.min(MOST_ROWS, Math.max(FEWEST_ROWS, rows))
    return ms
  }
}
