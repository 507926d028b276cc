/** As long as this a device may still send an answer that was given up (common practice, no source). */
export const OWED_FOR_MS = 30_000

const MAX_COUNT = 125
const MAX_ADDRESS = 65_535

/** All that an RTU answer tells about the request it belongs to. */
export interface ReplyShape {
  readonly unitId: number
  readonly function: number
  readonly count: number
}

interface Owed extends ReplyShape {
  readonly sinceMs: number
}

/**
 * Answers that an RTU line may still bring, in the order their requests were sent.
 *
 * An RTU answer does not name its request: after one was given up, a late answer looks like the
 * answer to the next equal request. So an equal request waits until the old one is settled: either
 * its answer came, or an unequal request (another register count) was answered after it, because
 * a unit answers in the order it was asked. Pure: time is an argument.
 */
export class OwedReplies {
  #owed: Owed[] = []

  /** A request goes out: from now on its answer is owed. */
  add(shape: ReplyShape, nowMs: number): void {
    this.#forget(nowMs)
    this.#owed.push({ unitId: shape.unitId, function: shape.function, count: shape.count, sinceMs: nowMs })
  }

  /** An answer came: it may belong to the oldest equal request; whatever the unit was asked before that is settled. */
  settle(shape: ReplyShape): void {
    this.#settleThrough(
      this.#owed.findIndex((owed) => sameShape(owed, shape)),
      shape.unitId,
    )
  }

  /** An exception came: it tells unit and function only, so it settles the oldest request of these. */
  settleException(shape: ReplyShape): void {
    const oldest = this.#owed.findIndex((owed) => owed.unitId === shape.unitId && owed.function === shape.function)
    this.#settleThrough(oldest, shape.unitId)
  }

  /** Whether an answer to this request could be mistaken for an owed one. */
  isAmbiguous(shape: ReplyShape, nowMs: number): boolean {
    this.#forget(nowMs)
    return this.#owed.some((owed) => sameShape(owed, shape))
  }

  /**
   * A register count whose answer proves that no equal answer is owed any more; smaller ones first,
   * since they stay inside the registers the device is known to have. Null when every count is taken.
   */
  tellingCount(shape: ReplyShape): number | null {
    const last = this.#owed.findLastIndex((owed) => sameShape(owed, shape))
    const taken = new Set(
      this.#owed
        .slice(0, last + 1)
        .filter((owed) => owed.unitId === shape.unitId && owed.function === shape.function)
        .map((owed) => owed.count),
    )
    for (let count = shape.count - 1; count >= 1; count--) if (!taken.has(count)) return count
    for (let count = shape.count + 1; count <= MAX_COUNT; count++) if (!taken.has(count)) return count
    return null
  }

  #settleThrough(index: number, unitId: number): void {
    this.#owed = this.#owed.filter((owed, i) => i > index || owed.unitId !== unitId)
  }

  #forget(nowMs: number): void {
    const [oldest] = this.#owed
    if (oldest === undefined || nowMs - oldest.sinceMs <= OWED_FOR_MS) return
    this.#owed = this.#owed.filter((owed) => nowMs - owed.sinceMs <= OWED_FOR_MS)
  }
}

function sameShape(a: ReplyShape, b: ReplyShape): boolean {
  return a.unitId === b.unitId && a.function === b.function && a.count === b.count
}

/** Where a read of `count` registers begins so that it neither starts before 0 nor ends after 65535. */
export function addressFor(address: number, count: number): number {
  return Math.min(address, MAX_ADDRESS + 1 - count)
}
