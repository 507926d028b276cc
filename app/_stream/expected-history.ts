import { BACKLOG_SECONDS } from '../../shared/protocol/version.ts'
import type { Side } from '../../shared/sample.ts'
import type { ZoneNow } from '../../shared/schemas/now.ts'

/** What was expected of one side at one time: force along the arrow, N, ± U. */
export interface ExpectedPoint {
  readonly tMs: number
  /** Null where nothing could be expected: a gap stays a gap. */
  readonly at: Readonly<Partial<Record<Side, { readonly value: number; readonly U: number }>>> | null
}

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
    if (now.agreement === undefined) return
    const last = this.#points.at(-1)
    if (last !== undefined && !(now.timeMs > last.tMs)) return
    this.#points.push({ tMs: now.timeMs, at: expectedOf(now) })
    this.version += 1
    const oldestMs = now.timeMs - BACKLOG_SECONDS * 1000
    const kept = this.#points.findIndex(({ tMs }) => tMs >= oldestMs)
    // In one go now and then, so that not every picture moves the whole list.
    if (kept > 256) this.#points = this.#points.slice(kept)
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

function expectedOf(now: ZoneNow): ExpectedPoint['at'] {
  const sides = Object.entries(now.sides).flatMap(([side, { expected }]) =>
    expected?.value == null || expected.U === null ? [] : [[side, { value: expected.value, U: expected.U }] as const],
  )
  return sides.length === 0 ? null : Object.fromEntries(sides)
}
