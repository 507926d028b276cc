const KEPT = 16
const USUAL_QUANTILE = 0.75
/** A single hiccup must not slow the next 16 requests down to its own length (common practice, no source). */
const MEDIANS = 4

/**
 * How long a unit has lately taken to answer one kind of request.
 *
 * On an RTU line a doubled answer to the request before may arrive first; the right one follows
 * when the unit usually answers. So an answer is believed only when that time has passed in
 * silence. On a unit that answers evenly this costs nothing. On a line that has brought unasked
 * bytes the longest time counts instead of the usual one.
 */
export class ReplySlot {
  readonly #lately: number[] = []
  #at = 0

  add(roundTripMs: number): void {
    this.#lately[this.#at] = roundTripMs
    this.#at = (this.#at + 1) % KEPT
  }

  /** Upper quartile of the last 16 round trips, ms; 0 before the first. */
  usualMs(): number {
    const sorted = this.#sorted()
    return sorted[Math.floor(USUAL_QUANTILE * sorted.length)] ?? 0
  }

  /** Longest of the last 16 round trips, at most four times their median, ms; 0 before the first. */
  longestMs(): number {
    const sorted = this.#sorted()
    const median = sorted[sorted.length >> 1] ?? 0
    return Math.min(sorted.at(-1) ?? 0, MEDIANS * median)
  }

  #sorted(): number[] {
    return [...this.#lately].sort((a, b) => a - b)
  }
}
