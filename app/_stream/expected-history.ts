import { type ExpectedPoint, expectedPointOf } from '../../shared/protocol/expected.ts'
import { BACKLOG_SECONDS } from '../../shared/protocol/version.ts'
import type { ZoneNow } from '../../shared/schemas/now.ts'

/** Two pictures further apart than this are not joined: nobody knows what was expected in between. */
export const EXPECTED_HOLE_MS = 1500

/**
 * What was expected, as each picture said it: a later geometry does not change the past. Bounded by the time that
 * samples are kept for.
 */
export class ExpectedHistory {
  #points: ExpectedPoint[] = []
  /** Changes with every point. */
  version = 0

  /** Takes the expected forces of a picture; pictures of zones without geometry leave nothing. */
  note(now: ZoneNow): void {
    const point = expectedPointOf(now)
    const last = this.#points.at(-1)
    if (point === undefined || (last !== undefined && !(now.timeMs > last.tMs))) return
    this.#points.push(point)
    this.version += 1
    const oldestMs = now.timeMs - BACKLOG_SECONDS * 1000
    const kept = this.#points.findIndex(({ tMs }) => tMs >= oldestMs)
    // In one go now and then, so that not every picture moves the whole list.
    if (kept > 256) this.#points = this.#points.slice(kept)
  }

  /**
   * Takes what the gateway kept from before this page looked, ascending: into the holes between own points and before
   * the first; where this page has its own, those stay.
   */
  fill(kept: readonly ExpectedPoint[]): void {
    const own = this.#points
    const merged: ExpectedPoint[] = []
    let i = 0
    for (const point of kept) {
      while (i < own.length && (own[i] as ExpectedPoint).tMs <= point.tMs) merged.push(own[i++] as ExpectedPoint)
      const [before, after] = [own[i - 1]?.tMs ?? Number.NEGATIVE_INFINITY, own[i]?.tMs ?? Number.POSITIVE_INFINITY]
      if (after - before > EXPECTED_HOLE_MS && point.tMs > before) merged.push(point)
    }
    this.#points = [...merged, ...own.slice(i)]
    this.version += 1
  }

  /** The points so far; later ones do not join it. */
  get points(): readonly ExpectedPoint[] {
    return this.#points
  }

  /** Points that stay as they are while new ones come. */
  frozen(): readonly ExpectedPoint[] {
    return this.#points.slice()
  }
}
