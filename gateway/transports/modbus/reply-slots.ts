import type { ReplyShape } from './owed-replies.ts'

const KEPT_TIMES = 16
const KEPT_ANSWERS = 4
/** One hiccup must not count for more than this (common practice, no source). */
const MEDIANS = 4
/** How much longer than the longest a right answer may take to follow a doubled one (common practice, no source). */
const MARGIN = 2
/** An answer in less than this part of the usual time is likely another request's (common practice, no source). */
const EARLY = 0.5

/**
 * How long a unit has lately taken to answer one kind of request, and what it answered.
 *
 * An RTU answer does not name its request, so an answer that comes twice can be taken for the next
 * one, and each answer after it would be one behind. But a doubled answer is equal to one before to
 * the last bit, and an answer one behind comes early. Only these are doubted: they are believed when
 * the right one has not followed in ample time. A live signal changes, so its answers hardly wait.
 */
class ReplySlot {
  readonly #times: number[] = []
  readonly #answers: Buffer[] = []
  #count = 0

  add(roundTripMs: number, adu: Buffer): void {
    this.#times[this.#count % KEPT_TIMES] = roundTripMs
    this.#answers[this.#count % KEPT_ANSWERS] = adu
    this.#count++
  }

  lengthMs(roundTripMs: number, adu: Buffer): number {
    const sorted = [...this.#times].sort((a, b) => a - b)
    const median = sorted[sorted.length >> 1] ?? 0
    const isDoubtful = roundTripMs < EARLY * median || this.#answers.some((answer) => answer.equals(adu))
    return isDoubtful ? MARGIN * Math.min(sorted.at(-1) ?? 0, MEDIANS * median) : 0
  }
}

/** The time slots of all kinds of request on one line. */
export class ReplySlots {
  readonly #slots = new Map<string, ReplySlot>()

  /** An answer was believed: it came after `roundTripMs` as `adu`. */
  add(shape: ReplyShape, roundTripMs: number, adu: Buffer): void {
    this.#slotOf(shape).add(roundTripMs, adu)
  }

  /** Ms after the request during which another answer must not come; 0 when nothing speaks against this one. */
  lengthMs(shape: ReplyShape, roundTripMs: number, adu: Buffer): number {
    return this.#slotOf(shape).lengthMs(roundTripMs, adu)
  }

  #slotOf({ unitId, function: code, count }: ReplyShape): ReplySlot {
    const key = `${unitId}:${code}:${count}`
    const known = this.#slots.get(key)
    if (known !== undefined) return known
    const slot = new ReplySlot()
    this.#slots.set(key, slot)
    return slot
  }
}
